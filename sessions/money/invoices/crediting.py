"""What a credit note would say: some or all lines of an invoice, never more than is left of them.

At each rate of tax it credits the tax on what it credits, rounded like any; the one that credits the
last of a rate credits whatever tax is left there, so that nothing remains of an invoice credited whole.
"""

from collections.abc import Mapping
from decimal import Decimal

from sessions.money.invoices.drafting import Draft, InvoiceRefused, new_draft
from sessions.money.invoices.models import Invoice, InvoiceKind, InvoiceLine
from sessions.terms.currencies import figures, rounded
from sessions.terms.taxes import TaxRow, tax_on

Rate = tuple[str, Decimal]


def standing_taxes(invoice: Invoice) -> list[TaxRow]:
    """Taxable amount and tax at each rate, net of credit notes. A query."""
    standing = {(row.name, row.percent): row for row in invoice.taxes}
    for note in invoice.credit_notes.all():
        for credited in note.taxes:
            row = standing[credited.name, credited.percent]
            left = TaxRow(row.name, row.percent, row.net - credited.net, row.tax - credited.tax)
            standing[row.name, row.percent] = left
    return list(standing.values())


def lines_left(invoice: Invoice) -> list[InvoiceLine]:
    """Those of which something can be credited, with how much as `left`."""
    return list(invoice.lines.with_something_left())


def drafted_credit_note(
    invoice: Invoice, *, amounts: Mapping[int, Decimal] | None = None, note: str = ""
) -> Draft:
    """`amounts` before tax, by the key of the line, with its sign; None credits all that is left.

    Raises InvoiceRefused.
    """
    if invoice.is_credit_note:
        raise InvoiceRefused("A credit note is not credited: issue another invoice.")
    lines = lines_left(invoice)
    if amounts is None:
        amounts = {line.pk: line.left for line in lines}
    credited = [(line, amounts[line.pk]) for line in lines if amounts.get(line.pk)]
    if not credited or len(credited) != sum(1 for amount in amounts.values() if amount):
        raise InvoiceRefused(f"Nothing of that is left of {invoice}.")
    draft = new_draft(
        invoice.client,
        kind=InvoiceKind.CREDIT_NOTE,
        currency=invoice.currency,
        credits=invoice,
        note=note,
    )
    for line, amount in credited:
        _check(line, amount, invoice.currency)
        draft.add(
            what=line.what,
            tax_name=line.tax_name,
            tax_percent=line.tax_percent,
            net=amount,
            of_line=line,
        )
    return draft.sum_up(_taxes(draft, standing_taxes(invoice)))


def _check(line: InvoiceLine, amount: Decimal, currency: str) -> None:
    """Raises InvoiceRefused for more than is left, or with the wrong sign."""
    if amount != rounded(amount, currency):
        raise InvoiceRefused(f"{amount} {currency} can’t be paid.")
    if not 0 <= amount * line.left <= line.left**2:
        left = f"{figures(line.left, currency)} {currency}"
        raise InvoiceRefused(f"“{line.what}”: {left} are left to credit.")


def _taxes(draft: Draft, standing: list[TaxRow]) -> list[TaxRow]:
    nets: dict[Rate, Decimal] = {}
    for line in draft.lines:
        key = (line.tax_name, line.tax_percent)
        nets[key] = nets.get(key, Decimal(0)) + line.net
    currency = draft.invoice.currency
    return [
        _credited(row, nets[row.name, row.percent], currency)
        for row in standing
        if (row.name, row.percent) in nets
    ]


def _credited(left: TaxRow, net: Decimal, currency: str) -> TaxRow:
    """Of what is left at a rate."""
    if not 0 <= net <= left.net:
        raise InvoiceRefused(
            f"Of what is charged at {left.rate}, {figures(left.net, currency)} {currency} are left: "
            "credit the deposit that was deducted along with it."
        )
    tax = left.tax if net == left.net else min(left.tax, tax_on(net, left.percent, currency))
    return TaxRow(left.name, left.percent, net, tax)
