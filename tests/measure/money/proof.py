"""Whether the studio's money is right: its papers, invoices, balances, statements and lists are compared
with the bookkeeper's, to the last of the smallest unit."""

import random
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction

import time_machine
from django.db.models import Max
from django.utils import timezone

from sessions.clients.models import Client
from sessions.money.invoices.billing import papers_to_bill
from sessions.money.invoices.models import Invoice, InvoiceKind
from sessions.money.models import MoneyPaper, PaperKind
from sessions.money.payments.accountant import LISTS
from sessions.money.payments.accounts import accounts_of
from sessions.money.payments.models import Payment
from sessions.money.payments.statement import statement
from tests.measure.money.books import PLACES, ZERO, Books
from tests.measure.money.business import Business
from tests.measure.money.world import FIRST_DAY, World

EACH = 10  # things done between two looks at everything


@dataclass(frozen=True)
class Verdict:
    done: Counter
    documents: int
    compared: int
    wrong: list[str]

    @property
    def holds(self) -> bool:
        return not self.wrong

    def __str__(self) -> str:
        rows = {
            "done": ", ".join(f"{many} × {what}" for what, many in self.done.most_common()),
            "invoices": self.documents,
            "sums compared": self.compared,
            "wrong": "\n".join(self.wrong[:20]) or "nothing",
            "holds": self.holds,
        }
        return "\n".join(f"{name:16} {value}" for name, value in rows.items())


def prove(count: int, seed: int) -> Verdict:
    noon = datetime.combine(FIRST_DAY, datetime.min.time(), UTC) + timedelta(hours=12)
    with time_machine.travel(noon, tick=False) as clock:
        return Proof(random.Random(seed), clock).run(count)


@dataclass
class Proof:
    chance: random.Random
    clock: object
    done: Counter = field(default_factory=Counter)
    compared: int = 0
    wrong: list[str] = field(default_factory=list)

    def __post_init__(self):
        self.world = World.make(self.chance)
        self.books = Books()
        self.business = Business(self.world, self.books)

    def run(self, count: int) -> Verdict:
        for number in range(1, count + 1):
            self.clock.shift(timedelta(hours=self.chance.choice([0, 1, 7, 30, 75])))
            what = self.business.make()
            self.done[what] += 1
            self._gather(f"{number}, {what}")
            if number % EACH == 0 or number == count:
                self._compare()
                self._gather(f"after {number}")
        return Verdict(self.done, len(self.books.documents), self.compared, self.wrong)

    def _gather(self, when: str) -> None:
        self.wrong += [f"{when}: {each}" for each in self.business.wrong]
        self.business.wrong.clear()

    def _same(self, what: str, found, mine) -> None:
        self.compared += 1
        if found != mine:
            self.business.wrong.append(f"{what} is {found}, not {mine}")

    # --- everything -------------------------------------------------------------------------------

    def _compare(self) -> None:
        self._compare_balances()
        self._compare_what_is_billed()
        for client in self.world.clients:
            self._compare_accounts(client)
            for currency in PLACES:
                self._compare_statement(client, currency)
        self._compare_lists()
        self._compare_numbers()

    def _compare_balances(self) -> None:
        today = timezone.localdate()
        late = set(Invoice.objects.overdue(today).values_list("pk", flat=True))
        overdue = set()
        for invoice in Invoice.objects.charging().with_balance():
            document = self.business.billing.documents[invoice.pk]
            balance = self.books.balance(document)
            self._same(f"balance of {invoice}", Fraction(invoice.balance), balance)
            self._same(f"paid of {invoice}", Fraction(invoice.paid), self.books.paid(document))
            if balance > 0 and document.due < today:
                overdue.add(document.key)
        self._same("what is overdue", late, overdue)
        for payment in Payment.objects.with_free():
            receipt = self.business.receipts[payment.pk]
            free = receipt.free if receipt.amount > 0 else ZERO
            self._same(f"credit of {payment}", Fraction(payment.free), free)

    def _compare_what_is_billed(self) -> None:
        """What no invoice bills is still to be billed, and nothing that one bills."""
        to_bill = set(papers_to_bill().values_list("pk", flat=True))
        self._same("what is to be billed", to_bill, self.business.to_bill())
        billed = Counter(
            line.paper
            for document in self.books.documents
            if document.kind == "invoice"
            for line in {each.paper: each for each in document.lines}.values()
            if line.paper and self.books.left_of(line)
        )
        twice = [key for key, many in billed.items() if many > 1]
        self._same("what is billed twice", twice, [])

    def _compare_accounts(self, client: Client) -> None:
        accounts = {each.currency: each for each in accounts_of(client, timezone.localdate())}
        for currency in PLACES:
            owed = self.books.owed_by(client.pk, currency)
            account = accounts.get(currency)
            found = Fraction(account.owed) if account else ZERO
            self._same(f"what {client} owes in {currency}", found, owed)
            if account:
                mine = [each.key for each in self.books.open_of(client.pk, currency)]
                self._same(f"what is open of {client}", [each.pk for each in account.open], mine)

    def _compare_statement(self, client: Client, currency: str) -> None:
        until = self._some_day()
        since = until - timedelta(days=self.chance.randrange(0, 60))
        found = statement(client, currency, since=since, until=until)
        opening, moves, closing, ages = self.books.statement(client.pk, currency, since, until)
        what = f"statement of {client} in {currency}, {since} to {until}"
        self._same(f"opening, {what}", Fraction(found.opening), opening)
        self._same(f"closing, {what}", Fraction(found.closing), closing)
        self._same(f"ages, {what}", [Fraction(each) for each in found.ages], ages)
        self._same(f"credit, {what}", Fraction(found.credit), sum(ages, ZERO) - closing)
        by_day: dict[date, Fraction] = defaultdict(Fraction)
        for move in found.moves:
            by_day[move.on] += Fraction(move.amount)
        self._same(f"moves, {what}", dict(by_day), moves)
        last = found.moves[-1].balance if found.moves else found.opening
        self._same(f"last balance, {what}", Fraction(last), closing)

    def _some_day(self) -> date:
        so_far = (timezone.localdate() - FIRST_DAY).days
        return FIRST_DAY + timedelta(days=self.chance.randrange(0, so_far + 30))

    def _compare_lists(self) -> None:
        """What the accountant is given adds up to what is owed."""
        ever = date(2000, 1, 1), date(2100, 1, 1)
        asked = self._added_up("invoices", "total", ever)
        self._same("tax and net by rate", self._added_up("tax", ("net", "tax"), ever), asked)
        self._same(
            "lines", self._added_up("lines", "net", ever), self._added_up("invoices", "net", ever)
        )
        mine: dict[str, Fraction] = defaultdict(Fraction)
        for document in self.books.documents:
            mine[document.currency] += document.owed
        self._same("all invoices", asked, {each: sum_ for each, sum_ in mine.items() if sum_})
        received: dict[str, Fraction] = defaultdict(Fraction)
        for receipt in self.books.receipts:
            received[receipt.currency] += receipt.amount
        paid = self._added_up("payments", "amount", ever)
        self._same("all payments", paid, {each: sum_ for each, sum_ in received.items() if sum_})

    def _added_up(self, name: str, columns: str | tuple[str, ...], period) -> dict[str, Fraction]:
        _, meant, rows_of = LISTS[name]
        sums: dict[str, Fraction] = defaultdict(Fraction)
        for row in rows_of(*period):
            for column in (columns,) if isinstance(columns, str) else columns:
                sums[meant["currency"][1](row)] += Fraction(meant[column][1](row))
        return {currency: sum_ for currency, sum_ in sums.items() if sum_}

    def _compare_numbers(self) -> None:
        """They run from 1 without a gap."""
        for model, kinds in ((Invoice, InvoiceKind), (MoneyPaper, PaperKind)):
            for kind in kinds:
                rows = model.objects.filter(kind=kind)
                last = rows.aggregate(last=Max("number"))["last"] or 0
                self._same(f"the last number of {kind.label}", last, rows.count())
