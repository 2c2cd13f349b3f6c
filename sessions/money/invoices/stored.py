"""An invoice, deposit invoice or credit note as a stored paper, as it was issued."""

from sessions.money.invoices.models import Invoice
from sessions.money.invoices.shown import shown
from sessions.papers.stored.kinds import Contents, PaperKind
from sessions.rooms.models import Studio


def _contents(invoice: Invoice, address: str) -> Contents:
    return Contents(
        {
            "invoice": invoice,
            "shown": shown(invoice, invoice.lines.all()),
            "studio": Studio(**invoice.as_issued["studio"], logo=Studio.current().logo),
        }
    )


INVOICE = PaperKind(
    path=f"{__name__}.INVOICE",
    title=str,
    page="invoices:detail",
    template="sessions/money/invoices/paper.html",
    subjects=Invoice.objects.select_related("client", "issued_by", "credits"),
    contents=_contents,
    for_client=True,
)
