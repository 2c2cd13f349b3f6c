"""The columns of the list of quotes and work orders as comma-separated values."""

from collections.abc import Callable
from decimal import Decimal

from gear.tables import Columns
from sessions.money.models import MoneyPaper
from sessions.terms.currencies import rounded


def _sum(name: str) -> Callable[[MoneyPaper], Decimal]:
    """Plain figures, so that a spreadsheet adds them up."""
    return lambda paper: rounded(getattr(paper, name), paper.currency)


def _is_signed(paper: MoneyPaper) -> bool:
    return hasattr(paper, "signed")


COLUMNS: Columns = {
    "kind": lambda paper: paper.get_kind_display().lower(),
    "number": lambda paper: paper.number,
    "issued": lambda paper: paper.issued_at,
    "issued by": lambda paper: paper.issued_by,
    "session": lambda paper: paper.session.title,
    "session starts": lambda paper: paper.session.starts_at,
    "project": lambda paper: paper.session.project.name,
    "client": lambda paper: paper.session.project.client,
    "currency": lambda paper: paper.currency,
    "net": _sum("net"),
    "tax": _sum("tax"),
    "total": _sum("total"),
    "deposit": _sum("deposit"),
    "valid until": lambda paper: paper.valid_until,
    "signed": lambda paper: paper.signed.signature.signed_at if _is_signed(paper) else None,
    "signed by": lambda paper: paper.signed.signature if _is_signed(paper) else None,
    "note": lambda paper: paper.note,
}
