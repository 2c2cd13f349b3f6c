"""Random business, by the same actions that pages call, and written into the books as it goes. What the
studio refuses must be what the bookkeeper refuses, too."""

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from django.core.exceptions import ValidationError
from django.utils import timezone

from sessions.bookings.models import Status
from sessions.clients.models import Client
from sessions.money.invoices.drafting import OtherLine
from sessions.money.invoices.models import Invoice
from sessions.money.payments.actions import (
    record_payment,
    refund,
    say_what_for,
    strike_out,
    use_credit,
)
from sessions.money.payments.models import Payment
from tests.measure.money.billing import Billing
from tests.measure.money.books import PLACES, ZERO, Books, Document, Receipt
from tests.measure.money.jobs import Job, Jobs
from tests.measure.money.world import TAXES, World

TRIES = 20


class Nothing(Exception):
    """There was nothing to do it with."""


class Business:
    """`make` does one thing, and gives its name."""

    def __init__(self, world: World, books: Books):
        self.world, self.chance, self.books = world, world.chance, books
        self.jobs = Jobs(world)
        self.billing = Billing(books, world.manager)
        self.receipts: dict[int, Receipt] = {}

    @property
    def wrong(self) -> list[str]:
        return self.billing.wrong

    def make(self) -> str:
        for _ in range(TRIES):
            [kind] = self.chance.choices(list(KINDS), KINDS.values())
            try:
                kind(self)
            except Nothing:
                continue
            return kind.__name__.strip("_")
        return "nothing"

    # --- what there is to choose from -------------------------------------------------------------

    @property
    def today(self) -> date:
        return timezone.localdate()

    def _one(self, things: list):
        if not things:
            raise Nothing
        return self.chance.choice(things)

    def _job(self, *statuses: str) -> Job:
        jobs = [each for each in self.jobs.all if each.session.status in statuses]
        return self._one(jobs)

    def _document(self, *kinds: str) -> Document:
        return self._one([each for each in self.books.documents if each.kind in kinds])

    def _amount(self, currency: str, most: Fraction) -> Decimal:
        """Some of it, or now and then all; above 0."""
        unit = 10 ** PLACES[currency]
        whole = int(most * unit)
        if whole < 1:
            raise Nothing
        some = whole if self.chance.random() < 0.3 else self.chance.randint(1, whole)
        return Decimal(some) / unit

    def _account(self, *wanted: tuple[int, str]) -> tuple[Client, str]:
        """One of those by client and currency, or now and then any."""
        any_of_all = self.chance.choice(self.world.clients), self.chance.choice(list(PLACES))
        if not wanted or self.chance.random() < 0.1:
            return any_of_all
        key, currency = self.chance.choice(wanted)
        return next(each for each in self.world.clients if each.pk == key), currency

    def _refused(self, what: str, do, *, rightly: bool) -> bool:
        """Whether the studio refused, which it must do if and only if the bookkeeper does."""
        try:
            do()
        except ValidationError as refusal:
            if not rightly:
                self.wrong.append(f"{what} was refused: {' '.join(refusal.messages)}")
            return True
        if rightly:
            self.wrong.append(f"{what} was not refused")
        return False

    # --- sessions ---------------------------------------------------------------------------------

    def _book(self) -> None:
        if not (job := self.jobs.book(self.today)):
            raise Nothing
        if job.session.lockout and self.chance.random() < 0.8:
            self.jobs.plan(job)

    def _quote(self) -> None:
        job = self._job(Status.CONFIRMED)
        try:
            paper = self.jobs.quote(job)
        except ValidationError:
            raise Nothing from None  # no hours in a lockout, or nothing new
        self.billing.same_paper(paper, job.quote[1])

    def _work(self) -> None:
        """What is over is wrapped, and charged for; what was forgotten makes another work order."""
        now = timezone.now()
        over = [each for each in self.jobs.all if each.session.ends_at <= now]
        job = self._one([each for each in over if each.session.status != Status.CANCELLED])
        if job.session.status == Status.CONFIRMED:
            self.jobs.wrap(job)
        elif len(job.papers) > 2:
            raise Nothing
        self.jobs.work(job)
        paper = self.jobs.order(job)
        self.billing.same_paper(paper, job.papers[-1].charged)

    def _cancel(self) -> None:
        job = self._one(
            [each for each in self._to_come() if each.session.status == Status.CONFIRMED]
        )
        mine = job.as_cancelled(timezone.now())
        paper = self.jobs.cancel(job)
        if (paper is None) != (mine is None):
            self.wrong.append(f"cancelling {job.session} gave {paper}, not {mine}")
        elif paper:
            self.billing.same_paper(paper, mine, deposit=False)

    def _reopen(self) -> None:
        self.jobs.reopen(
            self._one([each for each in self._to_come() if each.session.status == Status.CANCELLED])
        )

    def _to_come(self) -> list[Job]:
        return [each for each in self.jobs.all if each.session.starts_at > timezone.now()]

    # --- invoices ---------------------------------------------------------------------------------

    def _deposit(self) -> None:
        job = self._one([each for each in self.jobs.all if each.quote])
        charged = job.quote[1]
        if charged.total <= 0:
            raise Nothing
        amount = None
        if self.chance.random() < 0.4:
            amount = self._amount(charged.currency, charged.total)
        if amount is None and charged.deposit <= 0:
            raise Nothing
        rightly = job.session.status != Status.CONFIRMED or self.billing.deposit_asked(job)
        due = self.today + timedelta(days=self.chance.randrange(0, 20))
        self._refused(
            f"a deposit for {job.session}",
            lambda: self.billing.ask_deposit(job, amount, due),
            rightly=rightly,
        )

    def _bill(self) -> None:
        """Some of what a client is to be billed in one currency, and now and then a disk."""
        waiting = [each for each in self.jobs.all if self._is_to_bill(each)]
        client, currency = self._account(*((each.client, each.card.currency) for each in waiting))
        jobs = [
            each for each in waiting if (each.client, each.card.currency) == (client.pk, currency)
        ]
        jobs = self.chance.sample(jobs, self.chance.randint(0, len(jobs)))
        other = []
        if self.chance.random() < (0.3 if jobs else 0.1):
            amount = self._amount(currency, Fraction(200))
            rate = Decimal(self.chance.choice(TAXES))
            other = [OtherLine(what="A disk", net=amount, tax_percent=rate)]
        if not jobs and not other:
            raise Nothing
        rightly = any(self.billing.is_billed(paper.key) for job in jobs for paper in job.older)
        due = self.chance.choice([None, self.today + timedelta(days=self.chance.randrange(0, 40))])
        self._refused(
            f"an invoice for {client}",
            lambda: self.billing.bill(client, jobs, other, due, currency),
            rightly=rightly,
        )

    def _is_to_bill(self, job: Job) -> bool:
        if not job.papers or job.is_void:
            return False
        newest = job.papers[-1]
        return newest.charged.total > 0 and not self.billing.is_billed(newest.key)

    def to_bill(self) -> set[int]:
        """The keys of all papers that no invoice bills."""
        return {job.papers[-1].key for job in self.jobs.all if self._is_to_bill(job)}

    def _credit(self) -> None:
        document = self._document("invoice", "deposit")
        left = {line: left for line in document.lines if (left := self.books.left_of(line))}
        if not left:
            raise Nothing
        amounts = None
        if self.chance.random() < 0.7:
            amounts = {
                line: (1 if amount > 0 else -1)
                * Fraction(self._amount(document.currency, abs(amount)))
                for line, amount in left.items()
                if self.chance.random() < 0.7
            }
            if not amounts:
                raise Nothing
        credited = left if amounts is None else amounts
        self._refused(
            f"crediting {document.kind} {document.key}",
            lambda: self.billing.credit(document, amounts),
            rightly=not self._may_credit(document, credited),
        )

    def _may_credit(self, document: Document, amounts: dict) -> bool:
        """At each rate no more than is left of it, and nothing below that."""
        for rate in {line.percent for line in amounts}:
            net = sum((each for line, each in amounts.items() if line.percent == rate), ZERO)
            notes = (each for each in self.books.documents if each.credits is document)
            left = document.nets[rate] - sum((each.nets.get(rate, ZERO) for each in notes), ZERO)
            if not 0 <= net <= left:
                return False
        return True

    # --- money ------------------------------------------------------------------------------------

    def _pay(self) -> None:
        documents = [each for each in self.books.documents if each.kind != "credit_note"]
        still = [each for each in documents if self.books.balance(each) > 0]
        client, currency = self._account(*((each.client, each.currency) for each in still))
        asked = self.books.open_of(client.pk, currency)
        owed = sum((self.books.balance(each) for each in asked), ZERO)
        amount = self._amount(currency, owed * 6 / 5)
        wanted = None
        if self.chance.random() < 0.5:
            wanted = self._shares(asked, Fraction(amount))
        on = self.today - timedelta(days=self.chance.choice([0, 0, 1, 7]))
        made = []
        refused = self._refused(
            f"a payment by {client}",
            lambda: made.append(
                record_payment(
                    client,
                    received_on=on,
                    amount=amount,
                    currency=currency,
                    to=self._as_rows(wanted),
                    by=self.world.manager,
                )
            ),
            rightly=False,
        )
        if not refused:
            receipt = Receipt(client.pk, currency, on, Fraction(amount))
            self.receipts[made[0].pk] = self.books.receive(receipt, wanted)

    def _shares(self, asked: list[Document], amount: Fraction) -> dict[Document, Fraction]:
        shares = {}
        for document in self.chance.sample(asked, len(asked)):
            if (most := min(amount, self.books.balance(document))) <= 0:
                continue
            shares[document] = Fraction(self._amount(document.currency, most))
            amount -= shares[document]
        return shares

    def _as_rows(self, wanted: dict[Document, Fraction] | None) -> dict | None:
        if wanted is None:
            return None
        rows = Invoice.objects.in_bulk([each.key for each in wanted])
        return {
            rows[each.key]: Decimal(amount.numerator) / amount.denominator
            for each, amount in wanted.items()
        }

    def _receipt(self) -> tuple[Payment, Receipt]:
        key = self._one(list(self.receipts))
        return Payment.objects.get(pk=key), self.receipts[key]

    def _reallocate(self) -> None:
        """What stands for an invoice that was credited since is more than it asks: it may stay so."""
        payment, receipt = self._receipt()
        if receipt.amount < 0 or receipt.given_back == receipt.amount:
            raise Nothing
        seen = payment.allocations.count()
        receipt.used, before = receipt.used.copy(), receipt.used
        receipt.used.clear()
        asked = self.books.open_of(receipt.client, receipt.currency)
        wanted = self._shares(asked, receipt.free)
        receipt.used = before
        say_what_for(payment, to=self._as_rows(wanted), seen=seen, by=self.world.manager)
        receipt.used.clear()
        receipt.used.update(wanted)

    def _paid_for(self) -> list[tuple[int, str]]:
        """Accounts into which money came, as often as it did."""
        return [(each.client, each.currency) for each in self.books.receipts]

    def _use_credit(self) -> None:
        client, currency = self._account(*self._paid_for())
        before = self.books.credit_of(client.pk, currency)
        used = use_credit(client, currency=currency, by=self.world.manager)
        self.books.use_credit(client.pk, currency)
        if not used and not before:
            raise Nothing

    def _refund(self) -> None:
        client, currency = self._account(*self._paid_for())
        over = -sum(
            (
                min(self.books.balance(each), ZERO)
                for each in self.books.documents_of(client.pk, currency)
            ),
            ZERO,
        )
        most = self.books.credit_of(client.pk, currency) + over
        amount = self._amount(currency, most * 6 / 5)
        rightly = Fraction(amount) > most
        made = []
        refused = self._refused(
            f"a refund to {client}",
            lambda: made.append(
                refund(
                    client,
                    received_on=self.today,
                    amount=amount,
                    currency=currency,
                    by=self.world.manager,
                )
            ),
            rightly=rightly,
        )
        if not refused:
            self.books.free_what_is_over(client.pk, currency)
            given = self.books.give_back(client.pk, currency, self.today, Fraction(amount))
            self.receipts[made[0].pk] = given

    def _strike(self) -> None:
        payment, receipt = self._receipt()
        if self.chance.random() < 0.5:
            raise Nothing  # seldom
        struck = any(each.strikes is receipt for each in self.books.receipts)
        rightly = bool(struck or receipt.strikes or receipt.given_back)
        made = []
        refused = self._refused(
            f"striking out {payment}",
            lambda: made.append(strike_out(payment, note="Wrong", by=self.world.manager)),
            rightly=rightly,
        )
        if not refused:
            self.receipts[made[0].pk] = self.books.strike(receipt, self.today)


KINDS = {
    Business._book: 14,
    Business._quote: 10,
    Business._work: 12,
    Business._cancel: 4,
    Business._reopen: 2,
    Business._deposit: 7,
    Business._bill: 12,
    Business._credit: 6,
    Business._pay: 14,
    Business._reallocate: 4,
    Business._use_credit: 4,
    Business._refund: 4,
    Business._strike: 2,
}
