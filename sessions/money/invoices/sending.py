"""An invoice as a letter to its client, with the paper attached."""

from django.core.exceptions import ValidationError
from django.utils.formats import date_format
from django.utils.text import slugify

from gear.acting import action
from sessions.letters.models import Letter
from sessions.letters.outbox import Draft, FileToMake, post
from sessions.letters.text import LetterText
from sessions.money.invoices.models import Invoice
from sessions.money.invoices.stored import INVOICE
from sessions.rooms.models import Studio


class NothingToSend(ValidationError):
    """There is nobody to send it to; the message says what to do."""


@action
def send_invoice(invoice: Invoice, *, by) -> list[Letter]:
    """To the address that the client has now. Raises NothingToSend."""
    client = invoice.client
    if not client.email:
        raise NothingToSend(f"{client} has no e-mail address: print it, or add the address.")
    studio = Studio.current()
    facts = [("Total", invoice.total_in_figures), ("Dated", date_format(invoice.dated))]
    if invoice.due_on:
        facts.append(("Due", date_format(invoice.due_on)))
        facts.append(("Pay to", studio.bank_details))
        facts.append(("Give the number", str(invoice)))
    if invoice.credits:
        facts.append(("Credits", f"{invoice.credits} of {date_format(invoice.credits.dated)}"))
    text = LetterText(
        greeting=f"Dear {client},",
        paragraphs=(f"{invoice} is attached.",),
        facts=tuple(facts),
        closing=studio.closing,
    )
    draft = Draft(
        to=client.email,
        client=client,
        subject=f"{invoice} of {studio}: {invoice.total_in_figures}",
        text=text,
        files_to_make=(paper_of(invoice),),
    )
    return post(invoice, kind="invoice", drafts=[draft], sender=studio.writes_as, by=by)


def paper_of(invoice: Invoice) -> FileToMake:
    """Made when the letter goes: it takes about a second."""
    made_by = f"{__name__}.{client_copy.__name__}"
    return FileToMake(f"{slugify(invoice)}.pdf", "application/pdf", made_by, invoice.pk)


def client_copy(key: int) -> bytes:
    return INVOICE.to_send(key)
