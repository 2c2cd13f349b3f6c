"""Every quote and work order by its number, on a page and as CSV: the same filters, the same order."""

from collections.abc import Callable
from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.utils import timezone

from gear.asked import all_rows, in_pages
from gear.comma_separated import as_text, csv_answer
from sessions.bookings.models import RecordingSession
from sessions.money.filters import PaperFilter
from sessions.money.models import MoneyPaper
from sessions.money.tables import PaperTable
from sessions.terms.currencies import rounded

AT_ONCE = 500  # papers in memory, however long the list


def papers(request: HttpRequest) -> HttpResponse:
    """Quotes and work orders, the newest first."""
    found, table = _found(request)
    in_pages(request, table, 30)
    context = {"filter": found, "table": table}
    return TemplateResponse(request, "sessions/money/papers.html", context)


def papers_csv(request: HttpRequest) -> HttpResponse:
    """The whole of what the list shows."""
    found = all_rows(request, _found(request)[1]).iterator(chunk_size=AT_ONCE)
    rows = ([as_text(read(paper)) for read in COLUMNS.values()] for paper in found)
    name = f"quotes-and-work-orders-{timezone.localdate()}.csv"
    return csv_answer(name, list(COLUMNS), rows)


def _found(request: HttpRequest) -> tuple[PaperFilter, PaperTable]:
    sessions = RecordingSession.objects.visible_to(request.user)
    visible = MoneyPaper.objects.filter(session__in=sessions)
    found = PaperFilter(
        request.GET,
        visible.select_related("session__project__client", "issued_by", "signed__signature"),
        request=request,
    )
    return found, PaperTable(found.qs, order_by="-issued_at")


def _instant(at: datetime) -> str:
    return timezone.localtime(at).isoformat(timespec="minutes")


def _sum(name: str) -> Callable[[MoneyPaper], str]:
    """Plain figures, so that a spreadsheet adds them up."""
    return lambda paper: str(rounded(getattr(paper, name), paper.currency))


def _is_signed(paper: MoneyPaper) -> bool:
    return hasattr(paper, "signed")


COLUMNS: dict[str, Callable[[MoneyPaper], str]] = {
    "kind": lambda paper: paper.get_kind_display().lower(),
    "number": lambda paper: str(paper.number),
    "issued": lambda paper: _instant(paper.issued_at),
    "issued by": lambda paper: str(paper.issued_by),
    "session": lambda paper: paper.session.title,
    "session starts": lambda paper: _instant(paper.session.starts_at),
    "project": lambda paper: paper.session.project.name,
    "client": lambda paper: str(paper.session.project.client),
    "currency": lambda paper: paper.currency,
    "net": _sum("net"),
    "tax": _sum("tax"),
    "total": _sum("total"),
    "deposit": _sum("deposit"),
    "valid until": lambda paper: paper.valid_until.isoformat() if paper.valid_until else "",
    "signed": lambda paper: _instant(paper.signed.signature.signed_at) if _is_signed(paper) else "",
    "signed by": lambda paper: str(paper.signed.signature) if _is_signed(paper) else "",
    "note": lambda paper: paper.note,
}
