"""A client’s statement on paper."""

from datetime import datetime

from sessions.money.payments.statement import Statement
from sessions.papers.pdf import PaperSize, render_pdf
from sessions.rooms.models import Studio


def statement_pdf(
    statement: Statement, *, printed_at: datetime, size: PaperSize = PaperSize.A4
) -> bytes:
    """It goes to the client, so it holds no address of a page."""
    return render_pdf(
        "sessions/money/payments/statement_paper.html",
        {"statement": statement, "studio": Studio.current()},
        title=f"Statement, {statement.client}",
        base_url="",
        printed_at=printed_at,
        size=size,
    )
