"""What clients are written about what they owe."""

from datetime import date
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.text import slugify

from gear.acting import action
from sessions.clients.models import Client
from sessions.letters.models import Letter
from sessions.letters.outbox import Draft, post
from sessions.letters.text import LetterText
from sessions.money.invoices.models import Invoice
from sessions.money.invoices.reminders import REMINDER, forget_reminders
from sessions.money.invoices.sending import paper_of
from sessions.money.payments.papers import statement_pdf
from sessions.money.payments.statement import Statement
from sessions.rooms.models import Studio
from sessions.terms.currencies import figures

STATEMENT = "statement"


class NotWritten(ValidationError):
    """Nobody to write to, or nothing to write about; the message says which."""


@action
def remind(invoice: Invoice, *, by) -> list[Letter]:
    """Of an invoice that is overdue, to its client, with the invoice once more. Raises NotWritten."""
    client, today = invoice.client, timezone.localdate()
    overdue = Invoice.objects.overdue(today).filter(pk=invoice.pk).first()
    if overdue is None:
        raise NotWritten(f"{invoice} is not overdue.")
    _check_address(client)
    studio = Studio.current()
    text = LetterText(
        greeting=f"Dear {client},",
        paragraphs=(
            f"{invoice} of {date_format(invoice.dated)} was due on {date_format(invoice.due_on)}, and "
            f"{_money(overdue.balance, invoice.currency)} of it are still open. "
            "If you have paid it in the last few days, there is nothing more to do.",
        ),
        facts=_facts(overdue, studio),
        closing=studio.closing,
    )
    draft = Draft(
        to=client.email,
        client=client,
        subject=f"Overdue since {date_format(invoice.due_on)}: {invoice}",
        text=text,
        files_to_make=(paper_of(invoice),),
    )
    forget_reminders([invoice.pk])
    return post(invoice, kind=REMINDER, drafts=[draft], sender=studio.writes_as, by=by)


@action
def send_statement(statement: Statement, *, by) -> list[Letter]:
    """To its client, as a paper. Raises NotWritten."""
    client, studio = statement.client, Studio.current()
    _check_address(client)
    period = f"{date_format(statement.since)} to {date_format(statement.until)}"
    closing = _money(abs(statement.closing), statement.currency)
    said = f"At its end you owe {closing}"
    if statement.closing <= 0:
        said = f"At its end we owe you {closing}" if statement.closing else "Nothing is open"
    if statement.overdue > 0:
        said += f", of which {_money(statement.overdue, statement.currency)} are overdue"
    name = f"{slugify(f'statement {statement.since} {statement.until}')}.pdf"
    draft = Draft(
        to=client.email,
        client=client,
        subject=f"Statement, {period}",
        text=LetterText(
            greeting=f"Dear {client},",
            paragraphs=(f"This is your statement for {period}. {said}.",),
            closing=studio.closing,
        ),
        files=((name, "application/pdf", statement_pdf(statement, printed_at=timezone.now())),),
    )
    return post(client, kind=STATEMENT, drafts=[draft], sender=studio.writes_as, by=by)


def reminded_on(invoices: list[int]) -> dict[int, date]:
    """When a reminder of each was last written, by its key. Two queries."""
    letters = Letter.objects.heard().filter(kind=REMINDER).about_things(Invoice, invoices)
    return {
        topic.about_id: timezone.localdate(letter.written_at)
        for letter in letters.order_by("written_at").prefetch_related("topics")
        for topic in letter.topics.all()
    }


def _check_address(client: Client) -> None:
    if not client.email:
        raise NotWritten(f"{client} has no e-mail address: add it on their page.")


def _money(amount: Decimal, currency: str) -> str:
    return f"{figures(amount, currency)} {currency}"


def _facts(invoice: Invoice, studio: Studio) -> tuple[tuple[str, str], ...]:
    """The invoice comes with its balance."""
    currency = invoice.currency
    return (
        ("Invoice", str(invoice)),
        ("Total", _money(invoice.total, currency)),
        ("Credited", _money(invoice.credited, currency) if invoice.credited else ""),
        ("Paid", _money(invoice.paid, currency) if invoice.paid else ""),
        ("Open", _money(invoice.balance, currency)),
        ("Pay to", ", ".join(studio.bank_lines)),
    )
