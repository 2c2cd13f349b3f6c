from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse

from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import Series
from sessions.bookings.pages import above, session_of
from sessions.bookings.series.actions import book_series
from sessions.bookings.series.dates import with_what_is_in_the_way
from sessions.bookings.series.forms import RepeatForm
from sessions.bookings.series.rules import RuleRefused
from sessions.bookings.telling.asking import asking, asks_who_is_told


@asks_who_is_told
def repeat(request: HttpRequest, pk: int) -> HttpResponse:
    """How a session is repeated; then its dates with all that is in their way; then book them."""
    session = session_of(request, pk)
    if session.series_id:
        messages.info(request, f"{session} is part of a series already: this one.")
        return redirect("series:detail", session.series_id)
    form = RepeatForm(request.POST or None, session=session)
    rows, refusals = [], []
    if form.is_bound and form.is_valid():
        same_dates = request.POST.get("shown") == str(form.repeated_by)
        ticked = request.POST.getlist("dates") if same_dates else None
        if "book" in request.POST:
            series, refusals = _booked(request, form, ticked)
            if series:
                return redirect("series:detail", series.pk)
        rows = _rows(form, ticked)
    context = {
        "session": session,
        "form": form,
        "rows": rows,
        "refusals": refusals,
        "crumbs": [
            *above(session),
            ("Repeat", ""),
        ],
    }
    return TemplateResponse(request, "sessions/bookings/series/repeat.html", context)


def _booked(request, form: RepeatForm, ticked: list[str] | None) -> tuple[Series | None, list[str]]:
    """The series, or why there is none."""
    if ticked is None:
        return None, ["The rule has changed since the dates were shown. Check the new dates first."]
    try:
        with asking(request):
            series = book_series(
                form.session, rule=form.repeated_by, chosen=ticked, **form.how, by=request.user
            )
    except (BookingRefused, RuleRefused) as refusal:
        return None, refusal.messages
    messages.success(request, f"{form.session} repeated {len(ticked)} times.")
    return series, []


def _rows(form: RepeatForm, ticked: list[str] | None) -> list[dict]:
    """Each date, what is in its way, and whether it is ticked: at first, all that there are."""
    dates = with_what_is_in_the_way(form.dates, form.paddings, lockout=form.session.lockout)
    return [
        {
            "date": date,
            "in_the_way": date.in_the_way(**form.how),
            "ticked": date.key in ticked if ticked is not None else bool(date.period),
        }
        for date in dates
    ]
