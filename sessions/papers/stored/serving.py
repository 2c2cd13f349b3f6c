"""The page of a stored paper: the one that was made, if it still says what is to be said."""

import time

from csp.constants import NONE
from csp.decorators import csp
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods

from sessions.papers.pdf import PaperSize
from sessions.papers.ranges import file_answer
from sessions.papers.stored.drafts import draft_of
from sessions.papers.stored.kinds import PaperKind
from sessions.papers.stored.making import make, want
from sessions.papers.stored.models import GIVEN_UP_AFTER, StoredPaper
from sessions.tasks.models import DEFAULT, Worker


@require_http_methods(["GET", "HEAD", "POST"])
def paper_page(request: HttpRequest, kind: PaperKind, pk: int) -> HttpResponse:
    """What has to be made first is made by the worker, and the page looks again by itself; where
    none is alive, a short paper is made at once and a long one waits. POST tries again."""
    subject = get_object_or_404(kind.subjects.visible_to(request.user), pk=pk)
    paper, _ = StoredPaper.objects.get_or_create(
        kind=kind.path,
        subject=pk,
        size=_paper_size(request),
        address=kind.whole_address(subject, request.build_absolute_uri()),
    )
    if request.method == "POST":
        StoredPaper.objects.filter(pk=paper.pk).exclude(error="").update(key="", error="")
        return redirect(request.get_full_path())
    title = kind.title(subject)
    if not was_made_for(request, paper):
        at = timezone.now()
        draft = draft_of(paper, subject)
        if draft.key != paper.key:
            worker = Worker.objects.alive(DEFAULT)
            if worker or draft.contents.is_long:
                want(StoredPaper.objects.filter(pk=paper.pk), somebody_waits=True)
                return _without_paper(request, paper, title, waits=True, worker=worker)
            make(paper, draft, at=at)
    if paper.error:
        return _without_paper(request, paper, title, waits=False)
    return _file(request, paper, title)


def _paper_size(request: HttpRequest) -> PaperSize:
    """As `?paper=` says; A4 where it says nothing that we have."""
    wanted = request.GET.get("paper", "")
    return PaperSize(wanted) if wanted in set(PaperSize) else PaperSize.A4


def was_made_for(request: HttpRequest, paper: StoredPaper) -> bool:
    """Since the waiting page first asked, as the page says in `?asked=`: who waits is given that one,
    even if more was changed meanwhile, or would wait for as long as others go on changing."""
    try:
        asked = float(request.GET.get("asked", ""))
    except ValueError:
        return False
    recently = time.time() - GIVEN_UP_AFTER.total_seconds()
    return bool(paper.made_at) and recently < asked <= paper.made_at.timestamp()


def _without_paper(request: HttpRequest, paper: StoredPaper, title: str, **facts) -> HttpResponse:
    again = request.GET.copy()
    again.setdefault("asked", f"{time.time():.3f}")
    context = {"paper": paper, "title": title, "again": again.urlencode(), **facts}
    return TemplateResponse(request, "sessions/papers/without_paper.html", context, status=202)


# Browsers show a PDF in a page of their own making, which a policy meant for our pages would break.
@csp({"frame-ancestors": [NONE]})
def _file(request: HttpRequest, paper: StoredPaper, title: str) -> HttpResponse:
    try:
        answer = file_answer(
            request,
            paper.file,
            etag=f'"{paper.key}"',
            content_type="application/pdf",
            filename=f"{slugify(title, allow_unicode=True)}.pdf",
        )
    except FileNotFoundError:  # a store that was tidied by hand
        paper.delete()
        return redirect(request.get_full_path())
    patch_cache_control(answer, private=True, no_cache=True)
    return answer
