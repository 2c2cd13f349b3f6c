"""A quote or work order, as it was issued, as a stored paper."""

from sessions.money import models
from sessions.papers.stored.kinds import Contents, PaperKind


def _contents(paper: models.MoneyPaper, address: str) -> Contents:
    work_order = paper.kind == models.PaperKind.WORK_ORDER
    return Contents({"paper": paper, "work_order": work_order})


MONEY_PAPER = PaperKind(
    path=f"{__name__}.MONEY_PAPER",
    title=str,
    page="money:session",
    page_key="session_id",
    template="sessions/money/paper.html",
    subjects=models.MoneyPaper.objects.select_related("issued_by"),
    contents=_contents,
)
