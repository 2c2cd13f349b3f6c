"""The page of a paper that is kept: the one that was made, or it is made now."""

from csp.constants import NONE
from csp.decorators import csp
from django.contrib.auth.models import AbstractBaseUser
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils.cache import patch_cache_control
from django.utils.text import slugify

from sessions.papers.pdf import PaperSize
from sessions.papers.ranges import file_answer
from sessions.papers.stored.keeping import draft_of, known_paper, paper_of, print_paper
from sessions.papers.stored.kinds import PaperKind, Wanted
from sessions.papers.stored.making import move_on, try_again
from sessions.papers.stored.models import KeptPaper, PaperState
from sessions.papers.stored.stamps import stamp_of


def paper_page(request: HttpRequest, kind: PaperKind, pk: int) -> HttpResponse:
    """A long paper is made off the request; the page then looks again by itself. POST tries again."""
    address = request.build_absolute_uri(reverse(kind.page, args=[pk]))
    wanted = Wanted(kind, pk, _paper_size(request), address)
    stamp = stamp_of(wanted, request.user)
    paper = known_paper(stamp) or _looked_for(wanted, request.user, stamp)
    if paper.state == PaperState.KEPT:
        return _kept_file(request, paper)
    if request.method == "POST":
        try_again(paper)
        return redirect(request.get_full_path())
    move_on(paper)
    paper.refresh_from_db()
    context = {"paper": paper}
    return TemplateResponse(request, "sessions/papers/making.html", context, status=202)


def _paper_size(request: HttpRequest) -> PaperSize:
    """As `?paper=` says; A4 where it says nothing that we have."""
    wanted = request.GET.get("paper", "")
    return PaperSize(wanted) if wanted in set(PaperSize) else PaperSize.A4


def _looked_for(wanted: Wanted, user: AbstractBaseUser, stamp: str) -> KeptPaper:
    """By its hash, if the user may see it; made at once if it is short."""
    subject = get_object_or_404(wanted.kind.subjects.visible_to(user), pk=wanted.subject)
    draft = draft_of(wanted, subject)
    paper = paper_of(draft, user=user, stamp=stamp)
    if paper.state != PaperState.KEPT and not draft.is_long:
        print_paper(paper, draft)
    return paper


# Browsers show a PDF in a page of their own making, which a policy meant for our pages would break.
@csp({"frame-ancestors": [NONE]})
def _kept_file(request: HttpRequest, paper: KeptPaper) -> HttpResponse:
    name = slugify(paper.title, allow_unicode=True)
    try:
        answer = file_answer(
            request,
            paper.file,
            etag=f'"{paper.key}"',
            content_type="application/pdf",
            filename=f"{name}.pdf",
        )
    except FileNotFoundError:  # a store that was tidied by hand
        paper.delete()
        return redirect(request.get_full_path())
    patch_cache_control(answer, private=True, no_cache=True)
    return answer
