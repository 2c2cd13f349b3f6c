"""The bookkeeper: what was charged, billed and paid, reckoned in fractions.

Written from the published rules, and without a line of the studio's own code, which it is compared
with. The rules: EN 16931-1 (BR-CO-10, 13, 14, 15 and 17: lines are summed exactly, tax is rounded once
for each rate, half of the smallest unit goes up, away from zero) and ISO 4217 (the smallest unit).
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

ZERO = Fraction(0)
PLACES = {"GBP": 2, "EUR": 2, "JPY": 0}
AGES = ((None, 0), (1, 30), (31, 60), (61, 90), (91, None))  # days after the due date


def rounded(amount: Fraction, currency: str) -> Fraction:
    unit = 10 ** PLACES[currency]
    size = (abs(amount) * unit + Fraction(1, 2)).__floor__()
    return Fraction(size if amount >= 0 else -size, unit)


@dataclass(eq=False)
class Line:
    """`paper` is the charge that is billed by it, `of` the earlier line whose money it takes off or
    credits."""

    net: Fraction
    percent: Fraction
    paper: int | None = None
    of: "Line | None" = None


@dataclass(eq=False)
class Document:
    """A deposit invoice, an invoice, or a credit note, whose amounts are what is credited. `taxes` are
    those by rate, where they do not follow from the lines."""

    kind: str
    key: int
    client: int
    currency: str
    dated: date
    due: date | None
    lines: list[Line]
    credits: "Document | None" = None
    taxes: dict[Fraction, Fraction] | None = None

    def __post_init__(self):
        if self.taxes is None:
            self.taxes = {
                rate: rounded(net * rate / 100, self.currency) for rate, net in self.nets.items()
            }

    @property
    def nets(self) -> dict[Fraction, Fraction]:
        nets: dict[Fraction, Fraction] = defaultdict(Fraction)
        for line in self.lines:
            nets[line.percent] += line.net
        return dict(nets)

    @property
    def net(self) -> Fraction:
        return sum((line.net for line in self.lines), ZERO)

    @property
    def tax(self) -> Fraction:
        return sum(self.taxes.values(), ZERO)

    @property
    def total(self) -> Fraction:
        return self.net + self.tax

    @property
    def owed(self) -> Fraction:
        """What it adds to what the client owes."""
        return -self.total if self.kind == "credit_note" else self.total


@dataclass(eq=False)
class Receipt:
    """Money that came in, or was given back where it is negative; `used` by the document it went to."""

    client: int
    currency: str
    on: date
    amount: Fraction
    used: dict[Document, Fraction] = field(default_factory=lambda: defaultdict(Fraction))
    given_back: Fraction = ZERO
    strikes: "Receipt | None" = None

    @property
    def free(self) -> Fraction:
        return self.amount - self.given_back - sum(self.used.values(), ZERO)


@dataclass
class Books:
    documents: list[Document] = field(default_factory=list)
    receipts: list[Receipt] = field(default_factory=list)

    # --- what is written in them ------------------------------------------------------------------

    def add(self, document: Document) -> Document:
        self.documents.append(document)
        return document

    def receive(self, receipt: Receipt, wanted: dict[Document, Fraction] | None) -> Receipt:
        """To whom it was said to go, or else to what fell due first."""
        self.receipts.append(receipt)
        if wanted is None:
            self.spread(receipt)
        else:
            receipt.used.update(wanted)
        return receipt

    def spread(self, receipt: Receipt) -> None:
        for document in self.open_of(receipt.client, receipt.currency):
            if amount := min(receipt.free, self.balance(document)):
                receipt.used[document] += amount

    def use_credit(self, client: int, currency: str) -> None:
        """What was paid too much for one document, and what is free, goes to what fell due first."""
        self.free_what_is_over(client, currency)
        for receipt in self.receipts_of(client, currency):
            self.spread(receipt)

    def free_what_is_over(self, client: int, currency: str) -> None:
        """Of what was credited since it was paid, the newest money first."""
        for document in self.documents_of(client, currency):
            for receipt in reversed(self.receipts_of(client, currency)):
                if (over := -self.balance(document)) > 0 and receipt.used[document] > 0:
                    receipt.used[document] -= min(over, receipt.used[document])

    def give_back(self, client: int, currency: str, on: date, amount: Fraction) -> Receipt:
        """From what is free, the money that came first first."""
        left = amount
        for receipt in self.receipts_of(client, currency):
            part = min(left, max(receipt.free, ZERO))
            receipt.given_back += part
            left -= part
        assert left == 0, "more was given back than was there"
        given = Receipt(client, currency, on, -amount)
        self.receipts.append(given)
        return given

    def strike(self, receipt: Receipt, on: date) -> Receipt:
        """It was entered by mistake: a row against it, and nothing is paid by it any more."""
        against = Receipt(receipt.client, receipt.currency, on, -receipt.amount, strikes=receipt)
        if receipt.amount > 0:
            receipt.used.clear()
            receipt.given_back = receipt.amount
        self.receipts.append(against)
        return against

    def left_of(self, line: Line) -> Fraction:
        """What of it was neither credited nor, of a deposit, taken off an invoice."""
        left = line.net
        for document in self.documents:
            for other in document.lines:
                if other.of is not line:
                    continue
                if document.kind == "credit_note":
                    left -= other.net
                else:
                    left += other.net - sum(self._credits_of(other), ZERO)
        return left

    def _credits_of(self, line: Line) -> Iterator[Fraction]:
        for document in self.documents:
            if document.kind == "credit_note":
                yield from (other.net for other in document.lines if other.of is line)

    def deposit_taxes(self, amount: Fraction, charged: dict, currency: str) -> dict:
        """`amount` includes tax. It is shared out over the rates by what each comes to, the highest
        first; by rate what is taxed and the tax in it, amount x rate / (100 + rate)."""
        rates = [rate for rate in sorted(charged, reverse=True) if charged[rate][0]]
        whole = sum((net + tax for net, tax in charged.values()), ZERO)
        left, shares = amount, {}
        for rate in rates:
            net, tax = charged[rate]
            last = rate == rates[-1]
            share = left if last else rounded(amount * (net + tax) / whole, currency)
            left -= share
            tax_in_it = rounded(share * rate / (100 + rate), currency)
            shares[rate] = (share - tax_in_it, tax_in_it)
        return shares

    def note_taxes(self, document: Document, credited: dict[Fraction, Fraction]) -> dict:
        """Of what is credited by rate: rounded like any, but whoever credits the last of a rate credits
        all that is left of its tax, so that nothing remains of what is credited whole."""
        notes = [each for each in self.documents if each.credits is document]
        taxes = {}
        for rate, net in credited.items():
            left = document.nets[rate] - sum((each.nets.get(rate, ZERO) for each in notes), ZERO)
            tax = document.taxes[rate] - sum((each.taxes.get(rate, ZERO) for each in notes), ZERO)
            alike = rounded(net * rate / 100, document.currency)
            taxes[rate] = tax if net == left else min(tax, alike)
        return taxes

    # --- what is read from them -------------------------------------------------------------------

    def documents_of(self, client: int, currency: str) -> list[Document]:
        """What is to be paid, the first due first, and of one day in the order of issue."""
        mine = [
            each
            for each in self.documents
            if (each.client, each.currency) == (client, currency) and each.kind != "credit_note"
        ]
        return sorted(mine, key=lambda each: (each.due, self.documents.index(each)))

    def receipts_of(self, client: int, currency: str) -> list[Receipt]:
        mine = [
            each
            for each in self.receipts
            if (each.client, each.currency) == (client, currency) and each.amount > 0
        ]
        return sorted(mine, key=lambda each: (each.on, self.receipts.index(each)))

    def open_of(self, client: int, currency: str) -> list[Document]:
        return [each for each in self.documents_of(client, currency) if self.balance(each) > 0]

    def credited(self, document: Document, until: date = date.max) -> Fraction:
        notes = (each for each in self.documents if each.credits is document)
        return sum((each.total for each in notes if each.dated <= until), ZERO)

    def paid(self, document: Document, until: date = date.max) -> Fraction:
        return sum(
            (receipt.used.get(document, ZERO) for receipt in self.receipts if receipt.on <= until),
            ZERO,
        )

    def balance(self, document: Document, until: date = date.max) -> Fraction:
        return document.total - self.credited(document, until) - self.paid(document, until)

    def credit_of(self, client: int, currency: str) -> Fraction:
        return sum((each.free for each in self.receipts_of(client, currency)), ZERO)

    def owed_by(self, client: int, currency: str, until: date = date.max) -> Fraction:
        """All that was asked less all that was received."""
        return sum((amount for _, amount in self._moves(client, currency, until)), ZERO)

    def statement(self, client: int, currency: str, since: date, until: date) -> tuple:
        """What was owed before, each day's moves added up, what is owed after, and how old that is."""
        moves = list(self._moves(client, currency, until))
        before = sum((amount for on, amount in moves if on < since), ZERO)
        during: dict[date, Fraction] = defaultdict(Fraction)
        for on, amount in moves:
            if on >= since:
                during[on] += amount
        return (
            before,
            dict(during),
            before + sum(during.values(), ZERO),
            self._ages(client, currency, until),
        )

    def _moves(self, client: int, currency: str, until: date) -> Iterator[tuple[date, Fraction]]:
        for each in self.documents:
            if (each.client, each.currency) == (client, currency) and each.dated <= until:
                yield each.dated, each.owed
        for each in self.receipts:
            if (each.client, each.currency) == (client, currency) and each.on <= until:
                yield each.on, -each.amount

    def _ages(self, client: int, currency: str, until: date) -> list[Fraction]:
        ages = [ZERO] * len(AGES)
        for document in self.documents_of(client, currency):
            if document.dated > until:
                continue
            late = (until - document.due).days
            place = next(
                index
                for index, (first, last) in enumerate(AGES)
                if (first is None or late >= first) and (last is None or late <= last)
            )
            ages[place] += max(self.balance(document, until), ZERO)
        return ages
