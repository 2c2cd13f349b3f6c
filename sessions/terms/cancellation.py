"""What a cancellation costs by terms that are data. Nothing here asks the database.

A step of the terms covers notice of at least its `notice_from` and less than its `notice_below`.
Each becomes a span of time before one session, so that a moment lies in one span, in several (the
terms contradict themselves) or in none (they say nothing); the last two are told, never guessed.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from dateutil.relativedelta import relativedelta
from django.utils import timezone

from sessions.periods import instant_of, midnight, moment_in_words
from sessions.rooms.models import Weekday
from sessions.terms.cancellation_words import (
    amount_in_words,
    notice_in_words,
    step_charge_in_words,
)
from sessions.terms.charged_parts import ChargedPart, charged_parts
from sessions.terms.currencies import figures, rounded
from sessions.terms.models import (
    AppliesTo,
    CancellationStep,
    CancellationTerms,
    ChargeOf,
    CountedFrom,
    NoticeUnit,
)
from sessions.terms.pricing import same_time_next_day
from sessions.terms.taxes import TaxRow

ONE_DAY = timedelta(days=1)

NOTHING_SAID = "The terms say nothing about this notice: agree the charge with the client."


@dataclass(frozen=True)
class Booked:
    """What the terms need to know of a session.

    `day_minutes` is how long a session is one of a whole day (the card's), `fee` and `deposit` are
    those of its price, None where that is not known, and `taxes` what of the fee is taxed at which
    rate.
    """

    starts_at: datetime
    ends_at: datetime
    booked_at: datetime
    currency: str
    day_minutes: int = 600
    lockout: bool = False
    fee: Decimal | None = None
    deposit: Decimal | None = None
    taxes: tuple[TaxRow, ...] = ()
    holidays: Collection[date] = frozenset()

    @property
    def kinds(self) -> list[str]:
        """What steps may apply to it, the closest first; the first that has any steps is taken."""
        kinds = []
        if timezone.localdate(self.booked_at) == timezone.localdate(self.starts_at):
            kinds.append(AppliesTo.SAME_DAY)
        if self.ends_at > same_time_next_day(self.starts_at):
            return [*kinds, AppliesTo.DAYS, AppliesTo.ALL]
        if self.lockout or self.ends_at - self.starts_at >= timedelta(minutes=self.day_minutes):
            kinds.append(AppliesTo.DAY)
        return [*kinds, AppliesTo.HOURLY, AppliesTo.ALL]


@dataclass(frozen=True)
class Span:
    """Time before a session: later than `after`, up to and including `until`, and what applies.

    `after` is None for however early. `words` is the notice that it stands for.
    """

    after: datetime | None
    until: datetime
    words: str
    steps: tuple[CancellationStep, ...]

    def holds(self, moment: datetime) -> bool:
        return (self.after is None or self.after < moment) and moment <= self.until

    @property
    def period_in_words(self) -> str:
        until = f"until {moment_in_words(self.until)}"
        return until if self.after is None else f"after {moment_in_words(self.after)}, {until}"

    @property
    def charges(self) -> dict[str, CancellationStep]:
        """What is charged, in words, and a step that says so; steps may overlap and agree."""
        return {step_charge_in_words(step): step for step in self.steps}

    @property
    def is_gap(self) -> bool:
        return not self.steps

    @property
    def is_overlap(self) -> bool:
        """Whether steps cover it that do not agree."""
        return len(self.charges) > 1

    @property
    def charge_in_words(self) -> str:
        if self.is_gap:
            return NOTHING_SAID
        charges = " and ".join(self.charges)
        return f"The terms contradict themselves: {charges}." if self.is_overlap else charges


@dataclass(frozen=True)
class Charge:
    """What a cancellation at a moment costs, tax included. No amount: `remark` says why it is not
    known. `parts` are what it is made of, one for each rate of tax."""

    span: Span
    amount: Decimal | None
    currency: str
    remark: str = ""
    parts: tuple[ChargedPart, ...] = ()

    def __str__(self) -> str:
        """A sentence for pages."""
        if self.amount is None:
            return self.remark
        if not self.amount:
            return f"No charge for notice of {self.span.words}."
        amount = f"{figures(self.amount, self.currency)} {self.currency}"
        return f"{amount}: {self.span.charge_in_words}, for notice of {self.span.words}."


def charge(
    terms: CancellationTerms, steps: Iterable[CancellationStep], booked: Booked, at: datetime
) -> Charge:
    """What the terms charge for a cancellation of the session at that moment."""
    when = min(at, _counted_to(terms, booked))
    span = next(each for each in spans(terms, steps, booked) if each.holds(when))
    if len(span.charges) != 1:
        return Charge(span, None, booked.currency, span.charge_in_words)
    [step] = span.charges.values()
    of = booked.fee if step.charge_of == ChargeOf.FEE else booked.deposit
    if not step.percent:
        return Charge(span, rounded(Decimal(0), booked.currency), booked.currency)
    if of is None:
        missing = f"{step_charge_in_words(step)}, but the session’s price is not known."
        return Charge(span, None, booked.currency, missing)
    parts = charged_parts(
        booked.taxes or [TaxRow("", Decimal(0), booked.fee, Decimal(0))],
        percent=step.percent,
        of=of,
        whole=booked.fee,
        currency=booked.currency,
    )
    amount = sum((part.taxed.net + part.taxed.tax for part in parts), Decimal(0))
    return Charge(span, amount, booked.currency, parts=tuple(parts))


def spans(
    terms: CancellationTerms, steps: Iterable[CancellationStep], booked: Booked
) -> list[Span]:
    """All the time up to the session, earliest first, gaps and overlaps included.

    Neighbours in which the same is charged are one span.
    """
    applying = steps_for(steps, booked)
    counted_to = _counted_to(terms, booked)
    edges = {counted_to: ""}
    reach = []
    for step in applying:
        until = _latest(terms, booked, step.notice_unit, step.notice_from)
        after = None
        if step.notice_below is not None:
            after = _latest(terms, booked, step.notice_unit, step.notice_below)
            edges[after] = amount_in_words(step.notice_below, step.notice_unit)
        if step.notice_from:
            edges[until] = amount_in_words(step.notice_from, step.notice_unit)
        reach.append((after, until, step))
    found: list[Span] = []
    after = None
    for until in sorted(edges):
        covering = tuple(
            step
            for begins, ends, step in reach
            if until <= ends and (begins is None or begins < until)
        )
        words = notice_in_words(edges[until], edges.get(after, ""))
        span = Span(after, until, words, covering)
        if found and found[-1].charges.keys() == span.charges.keys():
            begins = found.pop().after
            words = notice_in_words(edges[until], edges.get(begins, ""))
            span = Span(begins, until, words, covering)
        found.append(span)
        after = until
    return found


def steps_for(steps: Iterable[CancellationStep], booked: Booked) -> list[CancellationStep]:
    """The steps for the closest kind of session that the terms name; none if they name none."""
    steps = list(steps)
    for kind in booked.kinds:
        of_kind = [step for step in steps if step.applies_to == kind]
        if of_kind:
            return of_kind
    return []


def kinds_left_out(steps: Iterable[CancellationStep]) -> list[AppliesTo]:
    """Kinds of session of which the terms say nothing at all."""
    named = {step.applies_to for step in steps}
    if AppliesTo.ALL in named:
        return []
    left_out = {AppliesTo.HOURLY, AppliesTo.DAYS} - named
    return [kind for kind in AppliesTo if kind in left_out]


def example(kind: str) -> Booked:
    """A session of that kind far from any clock change: shows where the terms leave gaps."""
    hours = {AppliesTo.DAY: 10, AppliesTo.DAYS: 58}.get(kind, 4)
    starts_at = instant_of(datetime(2026, 8, 12, 10))
    booked_at = starts_at if kind == AppliesTo.SAME_DAY else starts_at - timedelta(days=730)
    return Booked(starts_at, starts_at + timedelta(hours=hours), booked_at, "GBP")


def _counted_to(terms: CancellationTerms, booked: Booked) -> datetime:
    if terms.counted_from == CountedFrom.START:
        return booked.starts_at
    return midnight(timezone.localdate(booked.starts_at))


def _latest(terms: CancellationTerms, booked: Booked, unit: str, number: Decimal) -> datetime:
    """The latest moment that still gives notice of so many units."""
    counted_to = _counted_to(terms, booked)
    local = timezone.localtime(counted_to)
    if unit == NoticeUnit.HOURS:
        return counted_to - _times(timedelta(hours=1), number)
    if unit == NoticeUnit.BOOKED_LENGTH:
        return counted_to - _times(booked.ends_at - booked.starts_at, number)
    if unit == NoticeUnit.DAYS:
        return _on_the_clock(local - _times(ONE_DAY, number))
    if unit == NoticeUnit.MONTHS:
        return _on_the_clock(local - relativedelta(months=int(number)))
    return _on_the_clock(_business_days_before(local, int(number), booked.holidays))


def _times(length: timedelta, number: Decimal) -> timedelta:
    """Exact for the two places that a step is kept to."""
    return length * int(Decimal(number) * 100) / 100


def _business_days_before(local: datetime, number: int, holidays: Collection[date]) -> datetime:
    while number:
        local -= ONE_DAY
        if local.weekday() <= Weekday.FRIDAY and local.date() not in holidays:
            number -= 1
    return local


def _on_the_clock(local: datetime) -> datetime:
    """A local time that was reckoned on the clock, as the instant it names."""
    return instant_of(local.replace(tzinfo=None, fold=0))
