from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.utils import timezone

from gear.asked import whole_number
from gear.comma_separated import csv_answer
from gear.list_pages import list_page
from sessions.bookings.models import RecordingSession
from sessions.money.unbilled import unbilled as unbilled_sessions
from sessions.money.unbilled import with_what_is_to_bill
from sessions.reports.usage.hours import KindOfUse, hours_of, use_of_year
from sessions.reports.usage.plot import MONTHS, Plot, plot
from sessions.reports.usage.tables import LapsedTable, UnbilledTable

EARLIEST, LATEST = 1950, 2149  # as far as sessions can be booked


def _year_of(request: HttpRequest) -> int:
    """The year that is asked for, or this one."""
    year = whole_number(request.GET.get("year")) or 0
    return year if EARLIEST <= year <= LATEST else timezone.localdate().year


def months(request: HttpRequest) -> HttpResponse:
    """Hours by month of a year, drawn and as tables."""
    year = _year_of(request)
    kinds = use_of_year(year)
    context = {
        "year": year,
        "before": year - 1 if year > EARLIEST else None,
        "after": year + 1 if year < LATEST else None,
        "months": MONTHS,
        "kinds": [(kind, _plots(kind), _rows(kind)) for kind in kinds],
    }
    return TemplateResponse(request, "sessions/reports/usage/months.html", context)


def _plots(kind: KindOfUse) -> list[Plot]:
    """Each room by itself, on one scale; people and equipment together."""
    if not kind.total:
        return []
    if kind.kind != "room":
        return [plot(f"All {kind.word.lower()}", kind.months, tallest=max(kind.months))]
    tallest = max(max(use.months) for use in kind.uses)
    return [plot(f"{use.resource}", use.months, tallest=tallest) for use in kind.uses]


def _rows(kind: KindOfUse) -> list[tuple]:
    return [
        (use.resource, [hours_of(month) for month in use.months], hours_of(use.total))
        for use in kind.uses
    ]


def months_csv(request: HttpRequest) -> HttpResponse:
    """The same as a file: a line for each month of each room, person and unit."""
    year = _year_of(request)
    rows = (
        [kind.kind, use.resource, f"{year}-{number:02}", hours_of(length)]
        for kind in use_of_year(year)
        for use in kind.uses
        for number, length in enumerate(use.months, start=1)
    )
    return csv_answer(f"usage-{year}.csv", ["kind", "name", "month", "hours"], rows)


def lapsed(request: HttpRequest) -> HttpResponse:
    """Holds that lapsed because they were not confirmed in time, the latest first."""
    sessions = RecordingSession.objects.lapsed().select_related("project__client")
    table = LapsedTable(sessions, order_by="-lapsed_at")
    return _open_page(request, "Lapsed holds", table)


def unbilled(request: HttpRequest) -> HttpResponse:
    """Sessions that no invoice bills, the oldest first, each with what is to be done next."""
    sessions = unbilled_sessions(RecordingSession.objects).select_related("project__client")
    table = UnbilledTable(with_what_is_to_bill(sessions), order_by="starts_at")
    return _open_page(request, "Unbilled sessions", table)


def _open_page(request: HttpRequest, title: str, table) -> HttpResponse:
    template = "sessions/reports/usage/open.html"
    return list_page(request, table, template, {"title": title}, per_page=30)
