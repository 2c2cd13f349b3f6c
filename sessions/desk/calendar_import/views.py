from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse

from gear.editing.form_pages import form_page, trail
from sessions.desk.calendar_import.forms import CalendarForm, EventForms, TellForm, choices
from sessions.desk.calendar_import.importing import EventsRefused, import_events, try_import
from sessions.desk.calendar_import.matching import Matching

SESSIONS = ("Sessions", "bookings:list")
TITLE = "Import calendar"


def import_page(request: HttpRequest) -> HttpResponse:
    """A calendar is read; each of its events is asked about, with what is in the way of it; then those
    that are wanted are booked, all or none."""
    if "form-TOTAL_FORMS" in request.POST:
        return _asked(request)
    form = CalendarForm(request.POST or None, request.FILES or None)
    if not form.is_valid():
        return form_page(
            request,
            form,
            title=TITLE,
            crumbs=trail(SESSIONS),
            template="sessions/desk/calendar_import/file.html",
            action="Preview",
        )
    known = choices()
    matching = Matching(form.events, known["rooms"], known["projects"].values())
    guesses = [matching.guess(event) for event in form.events]
    forms = EventForms(initial=guesses, form_kwargs=known)
    for row, guess in zip(forms, guesses, strict=True):
        row.is_here = guess["is_here"]
    return _page(request, forms, TellForm(), {}, more=form.more, unread=_left_out(form.unread))


def _left_out(count: int) -> str:
    if not count:
        return ""
    events = (
        f"{count} events of the calendar have" if count > 1 else "One event of the calendar has"
    )
    return (
        f"{events} no time that can be read, and will be missing here. Enter what it was by hand."
    )


def _asked(request: HttpRequest) -> HttpResponse:
    forms, tell = EventForms(request.POST, form_kwargs=choices()), TellForm(request.POST)
    if not forms.is_valid() or not tell.is_valid():
        return _page(request, forms, tell, {})
    wanted = {number: row.wanted for number, row in enumerate(forms) if row.wanted}
    if "import" not in request.POST or not wanted:
        reasons, letters = try_import(wanted, by=request.user)
        return _page(request, forms, tell, reasons, checked=wanted, letters=letters)
    try:
        count = import_events(wanted, tell=tell.cleaned_data["tell"], by=request.user)
    except EventsRefused as refusal:
        return _page(request, forms, tell, refusal.reasons, checked=wanted)
    messages.success(request, f"{count} event{'s' if count != 1 else ''} imported.")
    return redirect("bookings:list")


def _page(
    request, forms, tell, reasons, *, more=0, unread="", checked=(), letters=0
) -> HttpResponse:
    """`checked` are the events that were tried, whose `reasons` say what is in the way."""
    context = {
        "title": TITLE,
        "crumbs": [*trail(SESSIONS), (TITLE, "")],
        "forms": forms,
        "rows": [(row, reasons.get(number, [])) for number, row in enumerate(forms)],
        "tell": tell,
        "more": more,
        "unread": unread,
        "letters": letters,
        "refused": len(reasons),
        "ready": len(checked) if checked and not reasons else 0,
        "projects": forms.form_kwargs["projects"],
    }
    return TemplateResponse(request, "sessions/desk/calendar_import/events.html", context)
