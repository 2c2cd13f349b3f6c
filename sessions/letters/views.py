from csp.constants import NONE, SELF
from csp.decorators import csp, csp_update
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.utils.http import content_disposition_header
from django.views.decorators.clickjacking import xframe_options_sameorigin
from django.views.decorators.http import require_POST, require_safe

from gear.editing.form_pages import trail
from gear.list_pages import list_page
from sessions.letters.actions import address_now, note_told, send_again, why_not_again
from sessions.letters.filters import LetterFilter
from sessions.letters.forms import ToldForm
from sessions.letters.models import Letter, LetterFile, LetterState
from sessions.letters.tables import LetterTable

LETTERS = ("Letters", "letters:list")
AGAIN = {LetterState.FAILED: "Try again", LetterState.WAITING: "Try now"}


def letter_list(request: HttpRequest) -> HttpResponse:
    visible = Letter.objects.visible_to(request.user).for_list().with_topics()
    letters = LetterFilter(request.GET, visible, request=request)
    table, template = LetterTable(letters.qs), "sessions/letters/letter_list.html"
    return list_page(request, table, template, {"filter": letters}, per_page=30)


def _letter_of(request: HttpRequest, pk: int) -> Letter:
    letters = Letter.objects.visible_to(request.user).with_readers().with_topics()
    return get_object_or_404(letters.select_related("copy_of"), pk=pk)


@csp_update({"frame-src": [SELF]})
def letter_detail(request: HttpRequest, pk: int) -> HttpResponse:
    return _detail_page(request, _letter_of(request, pk), ToldForm())


def _detail_page(request: HttpRequest, letter: Letter, told_form: ToldForm) -> HttpResponse:
    now, why_not = address_now(letter), why_not_again(letter)
    verb = AGAIN.get(letter.state, "Send again")
    moved = now != letter.to and letter.state != LetterState.WAITING
    context = {
        "letter": letter,
        "files": letter.files.defer("content"),
        "may_open": LetterFile.objects.visible_to(request.user)
        .filter(letter=letter)
        .values_list("pk", flat=True),
        "copies": letter.copies.all(),
        "newer": letter.superseded_by(),
        "why_not_again": why_not,
        "again": f"Send to {now}" if moved else verb,
        "told_form": told_form if letter.state == LetterState.FAILED else None,
        "crumbs": [*trail(LETTERS), (letter.subject, "")],
    }
    return TemplateResponse(request, "sessions/letters/letter_detail.html", context)


@require_safe
@xframe_options_sameorigin
@csp(
    {
        "default-src": [NONE],
        "style-src": ["'unsafe-inline'"],
        "frame-ancestors": [SELF],
        "sandbox": True,
    }
)
def letter_html(request: HttpRequest, pk: int) -> HttpResponse:
    """The letter as a mail program shows it: nothing in it runs, loads or leads anywhere."""
    return HttpResponse(_letter_of(request, pk).html)


@require_safe
def letter_file(request: HttpRequest, pk: int) -> HttpResponse:
    file = get_object_or_404(LetterFile.objects.visible_to(request.user), pk=pk)
    if not file.content:
        raise Http404("It is made when the letter goes.")
    headers = {"Content-Disposition": content_disposition_header(True, file.name)}
    return HttpResponse(bytes(file.content), content_type=file.content_type, headers=headers)


@require_POST
def letter_again(request: HttpRequest, pk: int) -> HttpResponse:
    letter = _letter_of(request, pk)
    try:
        sent = send_again(letter, by=request.user)
    except ValidationError as refusal:
        messages.warning(request, refusal.message)
        return redirect(letter)
    messages.success(
        request, f"The letter to {sent.to} is on its way; this page says what comes of it."
    )
    return redirect(sent)


@csp_update({"frame-src": [SELF]})
@require_POST
def letter_told(request: HttpRequest, pk: int) -> HttpResponse:
    letter, form = _letter_of(request, pk), ToldForm(request.POST)
    if form.is_valid():
        try:
            note_told(letter, how=form.cleaned_data["how"], by=request.user)
        except ValidationError as refusal:
            messages.warning(request, refusal.message)
        else:
            messages.success(request, f"Noted that {letter.reader} was told.")
        return redirect(letter)
    return _detail_page(request, letter, form)
