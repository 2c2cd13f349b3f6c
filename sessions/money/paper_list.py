"""Every quote and work order by its number, on a page and as CSV: the same filters, the same order."""

from collections.abc import Iterator

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.template.response import TemplateResponse
from django.utils import timezone
from django_tables2 import RequestConfig

from gear.asked import in_pages
from gear.comma_separated import as_text, lines_of
from sessions.bookings.models import RecordingSession
from sessions.bookings.pages import above
from sessions.money.filters import PaperFilter
from sessions.money.models import MoneyPaper
from sessions.money.tables import PaperTable
from sessions.terms.currencies import rounded

AT_ONCE = 500  # papers in memory, however long the list
HEAD = [
    "kind",
    "number",
    "issued",
    "issued by",
    "session",
    "session starts",
    "project",
    "client",
    "currency",
    "net",
    "tax",
    "total",
    "deposit",
    "valid until",
    "note",
]


def papers(request: HttpRequest) -> HttpResponse:
    """Quotes and work orders, the newest first."""
    found, table = _found(request)
    in_pages(request, table, 30)
    crumbs = [*above(), ("Quotes and work orders", "")]
    context = {"filter": found, "table": table, "crumbs": crumbs}
    return TemplateResponse(request, "sessions/money/papers.html", context)


def papers_csv(request: HttpRequest) -> HttpResponse:
    """The whole of what the list shows."""
    _, table = _found(request)
    RequestConfig(request, paginate=False).configure(table)
    name = f"quotes-and-work-orders-{timezone.localdate()}.csv"
    return StreamingHttpResponse(
        _csv_lines(table.data.data),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


def _found(request: HttpRequest) -> tuple[PaperFilter, PaperTable]:
    sessions = RecordingSession.objects.visible_to(request.user)
    visible = MoneyPaper.objects.filter(session__in=sessions)
    found = PaperFilter(
        request.GET,
        visible.select_related("session__project__client", "issued_by"),
        request=request,
    )
    return found, PaperTable(found.qs, order_by="-issued_at")


def _csv_lines(papers: QuerySet) -> Iterator[str]:
    rows = papers.iterator(chunk_size=AT_ONCE)
    return lines_of(HEAD, ([as_text(cell) for cell in _cells(paper)] for paper in rows))


def _cells(paper: MoneyPaper) -> list[str]:
    """Plain figures, so that a spreadsheet adds them up."""
    sums = (paper.net, paper.tax, paper.total, paper.deposit)
    return [
        paper.get_kind_display().lower(),
        str(paper.number),
        timezone.localtime(paper.issued_at).isoformat(timespec="minutes"),
        str(paper.issued_by),
        paper.session.title,
        timezone.localtime(paper.session.starts_at).isoformat(timespec="minutes"),
        paper.session.project.name,
        str(paper.session.project.client),
        paper.currency,
        *(str(rounded(amount, paper.currency)) for amount in sums),
        paper.valid_until.isoformat() if paper.valid_until else "",
        paper.note,
    ]
