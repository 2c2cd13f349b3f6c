from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.utils import timezone

from gear.asked import in_pages, whole_number
from gear.editing.versions import version_in
from gear.list_pages import csv_asked
from sessions.bookings.challenges.actions import lapse_due
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession, Series
from sessions.bookings.pages import above
from sessions.bookings.series.rest.actions import change_rest
from sessions.bookings.series.rest.changes import DONE, POSSIBLE_FOR, Verb
from sessions.bookings.series.rest.dates import rest_of
from sessions.bookings.series.rules import Rule
from sessions.bookings.tables import SessionTable
from sessions.bookings.telling.asking import asking, asks_who_is_told
from sessions.desk.series_pages.forms import RestForm
from sessions.desk.series_pages.rows import charges_together, rows_of
from sessions.money.cancellations.actions import cancel_rest


def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """A series with those of its sessions that the user may see."""
    first = _first_of(request, pk)
    series = first.series
    visible = RecordingSession.objects.visible_to(request.user)
    table = SessionTable(visible.filter(series=series).for_list(), order_by="starts_at")
    table.caption = "Sessions of the series"
    if file := csv_asked(request, table):
        return file
    in_pages(request, table, 70)
    rest = rest_of(series, since=timezone.localdate(), among=visible)
    statuses = set(rest.values_list("status", flat=True))
    context = {
        "series": series,
        "first": first,
        "rule": Rule.parse(series.rule),
        "table": table,
        "verbs": [verb for verb in Verb if POSSIBLE_FOR[verb] & statuses],
        "crumbs": [*above(), ("Series", "")],
    }
    return TemplateResponse(request, "sessions/desk/series_pages/detail.html", context)


@asks_who_is_told
def rest(request: HttpRequest, pk: int) -> HttpResponse:
    """What the address asks to be done to the rest of a series: each date with what is in the way
    of it; once it is posted, done to the ticked ones."""
    first = _first_of(request, pk)
    series = first.series
    if request.GET.get("do") not in Verb.values:
        return redirect(series)
    visible = RecordingSession.objects.visible_to(request.user)
    verb = Verb(request.GET["do"])
    form = _form(request, series, verb, visible)
    rows, refusals, ticked = [], [], None
    if form.is_bound and form.is_valid():
        if request.method == "POST":
            ticked = _ticked(request)
            lapse_due(timezone.now())
            try:
                with asking(request):
                    how = {"change": form.change, "chosen": ticked, "by": request.user}
                    cancels = verb == Verb.CANCEL
                    changed = cancel_rest(series, **how) if cancels else change_rest(series, **how)
            except BookingRefused as refusal:
                refusals = refusal.messages
            else:
                many = f"{len(changed)} session{'' if len(changed) == 1 else 's'}"
                messages.success(request, f"{many} {form.change.done}.")
                return redirect(series)
        sessions = rest_of(series, since=form.cleaned_data["since"], among=visible)
        rows = rows_of(list(sessions.for_list()), form.change, ticked)
    context = {
        "series": series,
        "first": first,
        "verb": verb,
        "form": form,
        "rows": rows,
        "refusals": refusals,
        "can_be_done": any(row.date for row in rows),
        "done": DONE[verb],
        "nothing": f"From that day on, there is no date to {verb.label.lower()}.",
        "charges": charges_together(rows),
        "crumbs": [*above(), ("Series", series.get_absolute_url()), (f"{verb.label} the rest", "")],
    }
    return TemplateResponse(request, "sessions/desk/series_pages/rest.html", context)


def _first_of(request: HttpRequest, pk: int) -> RecordingSession:
    """The first session of the series that the user may see, with its series. Raises Http404."""
    visible = RecordingSession.objects.visible_to(request.user).filter(series=pk)
    first = visible.select_related("series__made_by", "project__client").first()
    if first is None:
        raise Http404
    return first


def _form(request: HttpRequest, series: Series, verb: Verb, visible) -> RestForm:
    """What the address says; without a day, from the next date on. A move is shown once it is said
    where to."""
    asked = request.GET.copy()
    rest = rest_of(series, since=timezone.localdate(), among=visible)
    dates = list(rest.values_list("starts_at", "status"))
    if not asked.get("since"):
        first = dates[0][0] if dates else timezone.now()
        asked["since"] = f"{timezone.localdate(first):%Y-%m-%d}"
    how = {"verb": verb, "statuses": {status for _, status in dates}}
    if verb == Verb.MOVE and "days" not in asked:
        return RestForm(initial={"since": asked["since"]}, **how)
    asked.setdefault("direction", "later")
    return RestForm(asked, **how)


def _ticked(request: HttpRequest) -> dict[int, int]:
    """The ticked sessions, by their keys, with the versions that were seen."""
    pairs = (each.partition(".") for each in request.POST.getlist("dates"))
    return {whole_number(key) or 0: version_in(version) for key, _, version in pairs}
