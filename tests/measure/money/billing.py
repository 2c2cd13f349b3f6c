"""Invoices, deposits and credit notes: issued by the studio, and reckoned by the bookkeeper."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction

from sessions.money.invoices.actions import (
    issue_credit_note,
    issue_deposit_invoice,
    issue_invoice,
)
from sessions.money.invoices.drafting import OtherLine
from sessions.money.invoices.models import Invoice
from sessions.money.models import MoneyPaper
from tests.measure.money.books import ZERO, Books, Document, Line
from tests.measure.money.charges import Charged
from tests.measure.money.jobs import Job


@dataclass
class Billing:
    """`wrong` gathers in a sentence each what the studio and the bookkeeper say differently; books by the
    keys of the rows that they are of."""

    books: Books
    manager: object
    wrong: list[str] = field(default_factory=list)
    documents: dict[int, Document] = field(default_factory=dict)
    lines: dict[int, Line] = field(default_factory=dict)

    # --- what happens -----------------------------------------------------------------------------

    def ask_deposit(self, job: Job, amount: Decimal | None, due: date | None) -> Document:
        key, charged = job.quote
        paper = MoneyPaper.objects.get(pk=key)
        invoice = issue_deposit_invoice(paper, amount=amount, due_on=due, by=self.manager)
        asked = charged.deposit if amount is None else Fraction(amount)
        shares = self.books.deposit_taxes(asked, charged.rates, charged.currency)
        lines = [Line(net, rate, paper=key) for rate, (net, _) in shares.items()]
        taxes = {rate: tax for rate, (_, tax) in shares.items()}
        document = self._enter(invoice, "deposit", lines, taxes=taxes)
        if document.total != asked:
            self.wrong.append(f"{invoice} asks for {document.total}, not {asked}")
        return document

    def bill(
        self, client, jobs: Iterable[Job], other: list[OtherLine], due: date | None, currency: str
    ) -> Document:
        """The newest paper of each job, and other lines."""
        papers = [job.papers[-1] for job in jobs]
        invoice = issue_invoice(
            client,
            papers=MoneyPaper.objects.filter(pk__in=[paper.key for paper in papers]),
            other=other,
            due_on=due,
            currency=currency,
            by=self.manager,
        )
        lines = [
            Line(net, rate, paper=paper.key)
            for paper in papers
            for rate, (net, _) in paper.charged.rates.items()
            if net
        ]
        lines += [Line(Fraction(each.net), Fraction(each.tax_percent)) for each in other]
        lines += self._deposits_on(invoice, jobs, lines)
        return self._enter(invoice, "invoice", lines)

    def _deposits_on(self, invoice: Invoice, jobs: Iterable[Job], lines: list[Line]) -> list[Line]:
        """Which of several is taken off first is for the studio to say; that it is as much as can be, is
        not: at each rate all that is left of these sessions' deposits, as far as that rate is charged."""
        quotes = {paper for job in jobs for paper in job.quotes}
        taken = []
        for row in invoice.lines.exclude(of_line=None):
            deposit, amount = self.lines[row.of_line_id], -Fraction(row.net)
            if deposit.paper not in quotes or not 0 < amount <= self.books.left_of(deposit):
                self.wrong.append(f"{invoice} takes off {amount}, which is not its own")
            taken.append(Line(-amount, deposit.percent, of=deposit))
        for rate in {line.percent for line in lines}:
            charged = sum((line.net for line in lines if line.percent == rate), ZERO)
            left = sum(
                (
                    self.books.left_of(line)
                    for document in self.books.documents
                    if document.kind == "deposit" and document.currency == invoice.currency
                    for line in document.lines
                    if line.paper in quotes and line.percent == rate
                ),
                ZERO,
            )
            found = -sum((line.net for line in taken if line.percent == rate), ZERO)
            if found != min(left, max(charged, ZERO)):
                self.wrong.append(
                    f"{invoice} takes off {found} at {rate} % of {left} and {charged}"
                )
        return taken

    def credit(self, document: Document, amounts: Mapping[Line, Fraction] | None) -> Document:
        """All that is left, or so much of these lines."""
        keys = {line: key for key, line in self.lines.items()}
        wanted = amounts
        if amounts is None:
            wanted = {line: left for line in document.lines if (left := self.books.left_of(line))}
        note = issue_credit_note(
            Invoice.objects.get(pk=document.key),
            amounts=None
            if amounts is None
            else {keys[line]: _decimal(amount) for line, amount in amounts.items()},
            by=self.manager,
        )
        lines = [Line(amount, line.percent, of=line) for line, amount in wanted.items()]
        nets: dict[Fraction, Fraction] = {}
        for line in lines:
            nets[line.percent] = nets.get(line.percent, ZERO) + line.net
        taxes = self.books.note_taxes(document, nets)
        return self._enter(note, "credit_note", lines, credits=document, taxes=taxes)

    # --- what must be the same --------------------------------------------------------------------

    def _enter(self, invoice: Invoice, kind: str, lines: list[Line], **facts) -> Document:
        document = Document(
            kind,
            invoice.pk,
            invoice.client_id,
            invoice.currency,
            invoice.dated,
            invoice.due_on,
            lines,
            **facts,
        )
        self._compare(invoice, document)
        left = list(lines)
        for row in invoice.lines.all():
            for line in left:
                if self._is(row, line):
                    self.lines[row.pk] = line
                    left.remove(line)
                    break
        self.documents[invoice.pk] = document
        return self.books.add(document)

    def _is(self, row, line: Line) -> bool:
        same = (Fraction(row.net), Fraction(row.tax_percent)) == (line.net, line.percent)
        return same and (row.money_paper_id, self.lines.get(row.of_line_id)) == (
            line.paper,
            line.of,
        )

    def _compare(self, invoice: Invoice, document: Document) -> None:
        rows = Counter(
            (Fraction(row.net), Fraction(row.tax_percent), row.money_paper_id)
            for row in invoice.lines.all()
        )
        if rows != Counter((line.net, line.percent, line.paper) for line in document.lines):
            self.wrong.append(f"{invoice} has other lines: {rows}")
        taxes: dict[Fraction, tuple[Fraction, Fraction]] = {}
        for row in invoice.taxes:
            net, tax = taxes.get(Fraction(row.percent), (ZERO, ZERO))
            taxes[Fraction(row.percent)] = (net + Fraction(row.net), tax + Fraction(row.tax))
        mine = {rate: (net, document.taxes[rate]) for rate, net in document.nets.items()}
        if taxes != mine:
            self.wrong.append(f"{invoice} states tax of {taxes}, not {mine}")
        sums = tuple(Fraction(each) for each in (invoice.net, invoice.tax, invoice.total))
        if sums != (document.net, document.tax, document.total):
            self.wrong.append(f"{invoice} comes to {sums}, not {document.net} and {document.tax}")

    def same_paper(self, paper: MoneyPaper, charged: Charged, *, deposit: bool = True) -> None:
        found = [Fraction(each) for each in (paper.net, paper.tax, paper.total)]
        mine = [charged.net, charged.tax, charged.total]
        if deposit:
            found.append(Fraction(paper.deposit))
            mine.append(charged.deposit)
        if found != mine:
            self.wrong.append(f"{paper} of {paper.session} says {found}, not {mine}")

    def is_billed(self, key: int) -> bool:
        """Whether anything of the paper stands on an invoice."""
        return any(
            self.books.left_of(line)
            for document in self.books.documents
            if document.kind == "invoice"
            for line in document.lines
            if line.paper == key
        )

    def deposit_asked(self, job: Job) -> bool:
        """Whether a deposit that was asked for by one of its quotes was not credited whole; one that an
        invoice took off is asked for still, as that invoice stands."""
        return any(
            self.books.left_of(line)
            for document in self.books.documents
            if document.kind == "deposit"
            for line in document.lines
            if line.paper in job.quotes
        )


def _decimal(amount: Fraction) -> Decimal:
    return Decimal(amount.numerator) / Decimal(amount.denominator)
