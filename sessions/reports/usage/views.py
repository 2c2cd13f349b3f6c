from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.utils import timezone

from gear.asked import whole_number
from gear.comma_separated import csv_answer
from gear.list_pages import list_page
from sessions.bookings.models import RecordingSession
from sessions.money.unbilled import unbilled as unbilled_sessions
from sessions.money.unbilled import with_what_is_to_bill
from sessions.reports.usage.holds import OUTCOMES, holds_of_year
from sessions.reports.usage.hours import KindOfUse, in_hours, use_of_year
from sessions.reports.usage.income import Earned, Income, income_of_year
from sessions.reports.usage.plot import (
    MONTHS,
    Plot,
    Rows,
    plot_amounts,
    plot_counts,
    plot_hours,
    plot_use,
    rows_of,
    tallest_of,
)
from sessions.reports.usage.tables import LapsedTable, UnbilledTable

EARLIEST, LATEST = 1950, 2149  # as far as sessions can be booked


def _year_of(request: HttpRequest) -> int:
    """The year that is asked for, or this one."""
    year = whole_number(request.GET.get("year")) or 0
    return year if EARLIEST <= year <= LATEST else timezone.localdate().year


def _year_page(request: HttpRequest, year: int, name: str, context: dict) -> HttpResponse:
    context |= {
        "year": year,
        "before": year - 1 if year > EARLIEST else None,
        "after": year + 1 if year < LATEST else None,
        "months": MONTHS,
    }
    return TemplateResponse(request, f"sessions/reports/usage/{name}.html", context)


def months(request: HttpRequest) -> HttpResponse:
    """Hours by month of a year and their share of the open ones, drawn and as tables."""
    year = _year_of(request)
    kinds = use_of_year(year)
    context = {"kinds": [(kind, _plots(kind), _shares(kind), _rows(kind)) for kind in kinds]}
    return _year_page(request, year, "months", context)


def _plots(kind: KindOfUse) -> list[Plot]:
    """Each room by itself, on one scale; people and equipment together."""
    if not kind.total:
        return []
    if kind.kind != "room":
        return [plot_hours(f"All {kind.word.lower()}", kind.months)]
    tallest = tallest_of(kind.uses)
    return [plot_use(use, tallest=tallest) for use in kind.uses]


def _shares(kind: KindOfUse) -> Rows | None:
    """Of the people: each room has its plot."""
    return rows_of(kind.uses) if kind.kind == "person" else None


def _rows(kind: KindOfUse) -> list[tuple]:
    return [
        (
            use.resource,
            [
                (in_hours(month), share)
                for month, share in zip(use.months, use.percents, strict=True)
            ],
            in_hours(use.total),
            use.percent,
        )
        for use in kind.uses
    ]


def months_csv(request: HttpRequest) -> HttpResponse:
    """The same as a file: a line for each month of each room, person and unit."""
    year = _year_of(request)
    head = ["kind", "name", "month", "hours", "open hours", "of these reserved", "per cent"]
    rows = (
        [kind.kind, use.resource, f"{year}-{number + 1:02}", in_hours(length)]
        + [None if each is None else in_hours(each[number]) for each in (use.open, use.used_open)]
        + [use.percents[number]]
        for kind in use_of_year(year)
        for use in kind.uses
        for number, length in enumerate(use.months)
    )
    return csv_answer(f"usage-{year}.csv", head, rows)


def holds(request: HttpRequest) -> HttpResponse:
    """Holds by the month in which they were made, and what became of them."""
    year = _year_of(request)
    by_month, whole = holds_of_year(year)
    counts = [(each.confirmed, each.made) for each in by_month]
    context = {
        "plot": plot_counts("Holds that became bookings", counts, "confirmed")
        if whole.made
        else None,
        "rows": list(zip(MONTHS, by_month, strict=True)),
        "whole": whole,
    }
    return _year_page(request, year, "holds", context)


def holds_csv(request: HttpRequest) -> HttpResponse:
    year = _year_of(request)
    by_month, _ = holds_of_year(year)
    rows = (
        [f"{year}-{number:02}", each.made, *(each.counts[name] for name in OUTCOMES), each.percent]
        for number, each in enumerate(by_month, start=1)
    )
    return csv_answer(f"holds-{year}.csv", ["month", "made", *OUTCOMES, "per cent"], rows)


def income(request: HttpRequest) -> HttpResponse:
    """What was invoiced by client, room and month, without tax."""
    year = _year_of(request)
    found = [
        (each, plot_amounts("Income", each.whole.months, each.currency))
        for each in income_of_year(year)
    ]
    return _year_page(request, year, "income", {"found": found})


def income_csv(request: HttpRequest) -> HttpResponse:
    """A line for each month in which a client or a room brought something."""
    year = _year_of(request)
    rows = (
        [kind, earned.name, f"{year}-{number:02}", amount, each.currency]
        for each in income_of_year(year)
        for kind, earned in _divided(each)
        for number, amount in enumerate(earned.months, start=1)
        if amount
    )
    return csv_answer(f"income-{year}.csv", ["kind", "name", "month", "net", "currency"], rows)


def _divided(income: Income) -> list[tuple[str, Earned]]:
    return [("client", each) for each in income.clients] + [("room", each) for each in income.rooms]


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
