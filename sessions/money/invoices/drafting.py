"""What an invoice would say, before it is issued: its lines, and tax by rate.

Tax is worked out once for each rate on the sum of its lines (`sessions/terms/taxes.py`). A deposit is
taken off at the rate at which it was asked for, as far as that rate is charged; the rest stays for the
next invoice.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from sessions.clients.models import Client
from sessions.money.invoices.models import Invoice, InvoiceKind, InvoiceLine
from sessions.money.models import MoneyPaper
from sessions.rooms.models import Studio
from sessions.terms.agreements.agreed import agreed_with
from sessions.terms.currencies import figures, rounded
from sessions.terms.taxes import TaxRow, taxes_of

NONE = ("", "0.00", "0")


class InvoiceRefused(ValidationError):
    """What cannot be issued; the message says why, and what to do."""


@dataclass(frozen=True)
class OtherLine:
    """What no session charges: a hard disk, catering."""

    what: str
    net: Decimal
    tax_percent: Decimal
    quantity: str = ""


@dataclass
class Draft:
    """An invoice that has no number yet; nothing of it is saved."""

    invoice: Invoice
    lines: list[InvoiceLine] = field(default_factory=list)

    def add(self, **facts) -> None:
        line = InvoiceLine(invoice=self.invoice, position=len(self.lines) + 1, **facts)
        line.net = rounded(line.net, self.invoice.currency)  # a sum in SQL has more places
        self.lines.append(line)

    def sum_up(self, taxes: list[TaxRow] | None = None) -> "Draft":
        """From its lines, unless the `taxes` by rate are known already."""
        invoice = self.invoice
        if taxes is None:
            amounts = [(each.tax_name, each.tax_percent, each.net) for each in self.lines]
            taxes = taxes_of(amounts, invoice.currency)
        invoice.tax_rows = [row.as_kept() for row in taxes]
        invoice.net = sum((row.net for row in taxes), Decimal(0))
        invoice.tax = sum((row.tax for row in taxes), Decimal(0))
        invoice.total = invoice.net + invoice.tax
        invoice.line_count = len(self.lines)
        return self


def new_draft(client: Client, *, kind: str, currency: str, **facts) -> Draft:
    """Without lines. It names client and studio as they call themselves today."""
    today = timezone.localdate()
    facts.setdefault("dated", today)
    said = {
        "studio": Studio.current().as_issued(),
        "client": {"name": client.name, "address": client.address_lines, "email": client.email},
    }
    return Draft(Invoice(kind=kind, client=client, currency=currency, as_issued=said, **facts))


def drafted_invoice(
    client: Client,
    *,
    papers: Sequence[MoneyPaper],
    other: Sequence[OtherLine] = (),
    deposits: Iterable[InvoiceLine] = (),
    currency: str = "",
    tax_name: str = "VAT",
    due_on: date | None = None,
    note: str = "",
) -> Draft:
    """What the papers charge, and other lines, less the deposits. `deposits` come with what is `left`.

    `currency` is only asked for where there are no papers. Raises InvoiceRefused.
    """
    currencies = {paper.currency for paper in papers} or {currency}
    if len(currencies) > 1:
        listed = " and ".join(sorted(currencies))
        raise InvoiceRefused(f"An invoice is in one currency, and these are in {listed}.")
    if not papers and not other:
        raise InvoiceRefused("Choose what is to be billed, or add a line.")
    [currency] = currencies
    draft = new_draft(
        client,
        kind=InvoiceKind.INVOICE,
        currency=currency,
        due_on=due_on or default_due_on(client),
        note=note,
    )
    for paper in papers:
        _add_paper(draft, paper)
    names = {row.percent: row.name for paper in papers for row in paper.taxes}
    for line in other:
        if not line.net or line.net != rounded(line.net, currency):
            raise InvoiceRefused(f"“{line.what}”: {line.net} {currency} can’t be paid.")
        draft.add(
            what=line.what,
            quantity=line.quantity,
            tax_name=names.get(line.tax_percent, tax_name),
            tax_percent=line.tax_percent,
            net=line.net,
        )
    _take_off(draft, [each for each in deposits if each.invoice.currency == currency])
    return draft.sum_up()


def _add_paper(draft: Draft, paper: MoneyPaper) -> None:
    """A line for each rate of tax; what the first is made of stands below it."""
    session, taxed = paper.session, [row for row in paper.taxes if row.net]
    detail = "\n".join(_parts_of(paper))
    for row in taxed:
        draft.add(
            what=f"{paper}: {session.title} ({session.project}), {session.period_in_words}",
            detail=detail,
            tax_name=row.name,
            tax_percent=row.percent,
            net=row.net,
            money_paper=paper,
        )
        detail = ""


def _parts_of(paper: MoneyPaper) -> Iterable[str]:
    """Why it is charged, of a cancellation; the lines that charge something; the discount."""
    if why := paper.as_issued.get("why"):
        yield why
    for line in paper.lines:
        if line["amount"] not in NONE:
            basis = line["basis"][:1].lower() + line["basis"][1:]
            joined = "of" if line["quantity"].endswith("%") else "at"
            times = f"{line['quantity']} {joined} {line['rate']}"
            yield f"{line['what']}, {basis}: {times}, {line['amount']}"
    for name, amount in paper.as_issued.get("sums", []):
        if name.startswith("Discount"):
            yield f"{name}: {amount}"


def _take_off(draft: Draft, deposits: Iterable[InvoiceLine]) -> None:
    open_at: dict[tuple[str, Decimal], Decimal] = {}
    for line in draft.lines:
        key = (line.tax_name, line.tax_percent)
        open_at[key] = open_at.get(key, Decimal(0)) + line.net
    for deposit in deposits:
        key = (deposit.tax_name, deposit.tax_percent)
        amount = min(deposit.left, open_at.get(key, Decimal(0)))
        if amount <= 0:
            continue
        open_at[key] -= amount
        paid_ahead = deposit.invoice
        draft.add(
            what=f"Less {paid_ahead} of {date_format(paid_ahead.dated)}",
            tax_name=deposit.tax_name,
            tax_percent=deposit.tax_percent,
            net=-amount,
            of_line=deposit,
        )


def drafted_deposit(
    quote: MoneyPaper, *, amount: Decimal, due_on: date | None = None, note: str = ""
) -> Draft:
    """`amount` includes tax; it is shared out over the quote's rates by what each comes to, and the
    tax in it is worked out from there (amount × rate / (100 + rate)). Raises InvoiceRefused."""
    session, currency = quote.session, quote.currency
    if amount <= 0 or amount != rounded(amount, currency):
        raise InvoiceRefused(f"A deposit of {amount} {currency} can’t be paid.")
    if amount > quote.total:
        total = f"{figures(quote.total, currency)} {currency}"
        raise InvoiceRefused(f"{quote} comes to {total}: a deposit is no more than that.")
    client = session.project.client
    draft = new_draft(
        client,
        kind=InvoiceKind.DEPOSIT,
        currency=currency,
        due_on=due_on or min(default_due_on(client), _day_before(session)),
        note=note,
    )
    taxes = []
    for row, gross in _shared_out(amount, quote):
        tax = rounded(gross * row.percent / (100 + row.percent), currency)
        taxes.append(TaxRow(row.name, row.percent, gross - tax, tax))
        draft.add(
            what=f"Deposit for {quote}: {session.title} ({session.project}), "
            f"{session.period_in_words}",
            tax_name=row.name,
            tax_percent=row.percent,
            net=gross - tax,
            money_paper=quote,
        )
    return draft.sum_up(taxes)


def _shared_out(amount: Decimal, quote: MoneyPaper) -> list[tuple[TaxRow, Decimal]]:
    """Each rate's share of the amount; what rounding leaves goes with the last."""
    rows = [row for row in quote.taxes if row.net]
    shares, left = [], amount
    for row in rows[:-1]:
        share = rounded(amount * (row.net + row.tax) / quote.total, quote.currency)
        shares.append((row, share))
        left -= share
    return [*shares, (rows[-1], left)]


def default_due_on(client: Client) -> date:
    return timezone.localdate() + timedelta(days=agreed_with(client).due_days)


def _day_before(session) -> date:
    """A deposit is there before the session begins, or at once."""
    before = timezone.localdate(session.starts_at) - timedelta(days=1)
    return max(before, timezone.localdate())
