"""What one session costs: gathers what the rules of price and cancellation need to know."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property

from django.db.models import prefetch_related_objects
from django.utils import timezone

from sessions.bookings.models import Block, BlockKind, RecordingSession, Status, WorkedHours
from sessions.money.hires import hires_of
from sessions.money.models import MoneyPaper, PaperKind
from sessions.periods import duration_in_words
from sessions.terms.cancellation import Booked, Charge, Span, charge, spans, steps_for
from sessions.terms.cancellation_words import step_charge_in_words, step_in_words, terms_in_words
from sessions.terms.currencies import plain
from sessions.terms.models import RateCard
from sessions.terms.prices import Price
from sessions.terms.pricing import (
    Hire,
    Stretch,
    counted_from_booked_start,
    lockout_days,
    price,
    worked_by_day,
)

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class DayOfWork:
    """Hours of one day, as planned and as worked; the difference has its sign in words."""

    day: date
    planned: str
    actual: str
    difference: str


class SessionCosts:
    """Planned and actual price of a session, its hours, and the cost of a cancellation.

    Each question is asked of the database once. `session` comes from `for_list()`.
    """

    def __init__(self, session: RecordingSession):
        self.session = session
        self.card: RateCard | None = session.rate_card
        self.terms = session.cancellation_terms

    @cached_property
    def worked_hours(self) -> list[WorkedHours]:
        return list(self.session.worked_hours.all())

    @property
    def discount(self) -> str:
        return plain(self.session.discount_percent)

    @property
    def actual_entries(self) -> list[WorkedHours]:
        return [each for each in self.worked_hours if each.kind == WorkedHours.Kind.ACTUAL]

    @cached_property
    def papers(self) -> list[MoneyPaper]:
        """What was issued, the latest first."""
        papers = self.session.money_papers
        return list(papers.select_related("issued_by", "signed__signature__taken_by"))

    @cached_property
    def overtime(self) -> list:
        """What was approved, the void ones too."""
        return list(self.session.overtime.for_list())

    @cached_property
    def planned_stretches(self) -> list[Stretch]:
        """The hours planned inside it, or else its period; a lockout's period is not all work."""
        planned = self._entered(WorkedHours.Kind.PLANNED)
        if planned or self.session.lockout:
            return planned
        return [(self.session.starts_at, self.session.ends_at)]

    @cached_property
    def actual_stretches(self) -> list[Stretch]:
        """The hours worked; with terms, time that a client was late beyond the grace counts too."""
        worked = self._entered(WorkedHours.Kind.ACTUAL)
        if not self.terms or self.session.lockout:
            return worked
        return counted_from_booked_start(
            worked,
            booked_start=self.session.starts_at,
            grace_minutes=self.terms.grace_minutes,
        )

    @property
    def waited(self) -> timedelta:
        """How much of the billed time lies before the work began, by the terms."""
        worked = self._entered(WorkedHours.Kind.ACTUAL)
        if len(worked) == len(self.actual_stretches):
            return timedelta(0)
        starts_at, ends_at = self.actual_stretches[0]
        return ends_at - starts_at

    @property
    def waiting_in_words(self) -> str:
        if not self.waited:
            return ""
        grace = (
            f"{self.terms.grace_minutes} min of grace" if self.terms.grace_minutes else "no grace"
        )
        return (
            f"Work began {duration_in_words(self.waited)} after the booked start. The "
            f"terms give {grace}, so time counts from the booked start."
        )

    @cached_property
    def hours(self) -> list[DayOfWork]:
        planned, actual = (
            worked_by_day(self.planned_stretches),
            worked_by_day(self.actual_stretches),
        )
        return [
            DayOfWork(day, _hours(planned.get(day)), _hours(actual.get(day)), difference)
            for day in sorted(planned | actual)
            for difference in [_difference(planned.get(day, 0), actual.get(day, 0))]
        ]

    @cached_property
    def planned_price(self) -> Price | None:
        """None without a rate card."""
        return self.price_of(self.planned_stretches)

    @cached_property
    def actual_price(self) -> Price | None:
        """None without a rate card or before any worked hours are entered."""
        return self.price_of(self.actual_stretches) if self.actual_stretches else None

    @cached_property
    def booked(self) -> Booked:
        """What the cancellation terms look at. The fee is the newest quote's, or today's price."""
        quote = next((each for each in self.papers if each.kind == PaperKind.QUOTE), None)
        fee = quote or (
            self.planned_price if self.planned_price and not self.planned_price.unpriced else None
        )
        return Booked(
            starts_at=self.session.starts_at,
            ends_at=self.session.ends_at,
            booked_at=self._booked_at,
            currency=(quote or self.card).currency if quote or self.card else "",
            day_minutes=self.card.day_minutes if self.card else 600,
            lockout=self.session.lockout,
            fee=fee.total if fee else None,
            deposit=fee.deposit if fee else None,
            taxes=tuple(fee.taxes) if fee else (),
            holidays=self.holidays,
        )

    @cached_property
    def holidays(self) -> frozenset[date]:
        return holidays_before(self.session.starts_at)

    @cached_property
    def _terms_steps(self) -> list:
        return list(self.terms.steps.all())

    def cancellation(self, at: datetime) -> Charge | None:
        """What a cancellation at that moment costs; None without terms."""
        return charge(self.terms, self._terms_steps, self.booked, at) if self.terms else None

    def cancellation_spans(self) -> list[Span]:
        return spans(self.terms, self._terms_steps, self.booked) if self.terms else []

    @property
    def cancellation_in_words(self) -> list[str]:
        """The terms as they apply to this session, as its papers print them."""
        if self.terms is None:
            return []
        return [
            *(
                f"{step_in_words(step).capitalize()}: {step_charge_in_words(step)}."
                for step in steps_for(self._terms_steps, self.booked)
            ),
            *terms_in_words(self.terms),
        ]

    @property
    def _booked_at(self) -> datetime:
        """When it was first confirmed, or else entered."""
        steps = self.session.status_steps.all()
        if confirmed := [each.at for each in steps if each.status == Status.CONFIRMED]:
            return min(confirmed)
        entered = self.session.history.order_by("history_date").first()
        return entered.history_date if entered else timezone.now()

    def _entered(self, kind: str) -> list[Stretch]:
        return [(each.starts_at, each.ends_at) for each in self.worked_hours if each.kind == kind]

    def price_of(
        self, stretches: list[Stretch], *, lockout_until: datetime | None = None
    ) -> Price | None:
        """Of any hours of the session, and of a lockout that goes on until then; None without a
        rate card."""
        if self.card is None:
            return None
        days = lockout_days(self.session.starts_at, lockout_until or self.session.ends_at)
        return price(
            self.card,
            self.hires,
            stretches=stretches,
            lockout_days=days if self.session.lockout else 0,
            discount_percent=self.session.discount_percent,
        )

    @cached_property
    def hires(self) -> list[Hire]:
        """What it takes, with its rates; needs a rate card."""
        reserved = self.session.reservations.all()
        return hires_of(self.card, [(each.resource, each.padding) for each in reserved])


def cancellation_now(session: RecordingSession) -> Charge | None:
    """What cancelling it this moment costs; None without terms. About seven queries."""
    return SessionCosts(session).cancellation(timezone.now())


def charges_of_cancelling(
    sessions: Collection[RecordingSession], at: datetime
) -> dict[int, Charge]:
    """By their keys, what cancelling sessions that are confirmed costs; those without terms are left
    out. The sessions come from `for_list()`. Seven queries, however many there are."""
    prefetch_related_objects(
        sessions,
        "worked_hours",
        "status_steps",
        "money_papers",
        "rate_card__rates",
        "cancellation_terms__steps",
    )
    holidays = holidays_before(max((each.starts_at for each in sessions), default=at))
    charges = {}
    for session in sessions:
        costs = SessionCosts(session)
        costs.papers, costs.holidays = list(session.money_papers.all()), holidays
        charges[session.pk] = costs.cancellation(at)
    return {key: charge for key, charge in charges.items() if charge}


def holidays_before(moment: datetime) -> frozenset[date]:
    """The days that blocks of kind holiday touch, on the studio's clock. One query."""
    blocks = Block.objects.filter(kind=BlockKind.HOLIDAY, removed=False, starts_at__lt=moment)
    days = set()
    for block in blocks:
        day = timezone.localdate(block.starts_at)
        last = timezone.localdate(block.ends_at - timedelta(microseconds=1))
        while day <= last:
            days.add(day)
            day += ONE_DAY
    return frozenset(days)


def _hours(minutes: int | None) -> str:
    return duration_in_words(timedelta(minutes=minutes)) if minutes else "none"


def _difference(planned: int, actual: int) -> str:
    if not actual or planned == actual:
        return ""
    more = duration_in_words(timedelta(minutes=abs(actual - planned)))
    return f"{more} {'more' if actual > planned else 'less'}"
