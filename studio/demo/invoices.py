"""What the studio billed: a deposit, an invoice that nobody has paid, one of which a part was credited."""

from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.money.actions import issue_paper
from sessions.money.invoices.actions import issue_credit_note, issue_deposit_invoice, issue_invoice
from sessions.money.invoices.drafting import OtherLine
from sessions.money.invoices.models import Invoice
from sessions.money.models import MoneyPaper, PaperKind
from studio.demo.days import as_of
from studio.models import User

FILM_CUES, SERIAL, NARRATION = (
    "1m4 and 2m2, strings",
    "Episode 2, voices",
    "Narration, reels one and two",
)
DISK = OtherLine("A disk with the session’s files", Decimal("64.00"), Decimal(20), quantity="1")


def fill_invoices() -> None:
    """Call once work orders and quotes are issued."""
    manager = User.objects.get(username="odile")
    _bill(FILM_CUES, days_later=3, by=manager)
    serial = _bill(SERIAL, days_later=4, other=[DISK], by=manager)
    with as_of(serial.issued_at + timedelta(days=5)):
        disk = serial.lines.get(what=DISK.what)
        note = "The disk came back unopened."
        issue_credit_note(serial, amounts={disk.pk: disk.net}, note=note, by=manager)
    issue_deposit_invoice(
        MoneyPaper.objects.get(session__title=NARRATION, kind=PaperKind.QUOTE), by=manager
    )
    issue_paper(
        RecordingSession.objects.get(title="Carols, second half"),
        kind=PaperKind.QUOTE,
        by=manager,
        valid_until=timezone.localdate() + timedelta(days=5),
    )


def _bill(title: str, *, days_later: int, other=(), by: User) -> Invoice:
    paper = MoneyPaper.objects.get(session__title=title, kind=PaperKind.WORK_ORDER)
    with as_of(paper.issued_at + timedelta(days=days_later)):
        return issue_invoice(paper.session.project.client, papers=[paper], other=other, by=by)
