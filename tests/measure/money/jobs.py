"""Sessions of the world: booked, quoted, worked, and what each of them costs by the bookkeeper."""

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from django.utils import timezone

from sessions.bookings.actions import book_session, set_status
from sessions.bookings.models import RecordingSession, Status, WorkedHours
from sessions.bookings.padding import Padding
from sessions.bookings.worked_hours import write_hours
from sessions.money.actions import issue_paper
from sessions.money.cancellations.actions import cancel_session
from sessions.money.models import MoneyPaper, PaperKind
from tests.measure.money.books import ZERO
from tests.measure.money.charges import Card, Charged, Terms, Thing, charged
from tests.measure.money.world import ZONE, World, days_of

Stretch = tuple[datetime, datetime]
Kind = WorkedHours.Kind


class Paper(NamedTuple):
    """A work order or the charge of a cancellation, by its key, and what it must charge."""

    key: int
    charged: Charged
    kind: str


@dataclass(eq=False)
class Job:
    """One session: `papers` are what it was charged by, the newest last; `quote` the newest of them."""

    session: RecordingSession
    client: int
    card: Card
    things: list[Thing]
    discount: Fraction
    set_up: int
    terms: Terms | None
    worked: list[Stretch] = field(default_factory=list)
    planned: list[Stretch] = field(default_factory=list)
    quote: tuple[int, Charged] | None = None
    quotes: list[int] = field(default_factory=list)  # their papers
    papers: list[Paper] = field(default_factory=list)
    is_void: bool = False  # the newest paper: its session was reopened

    @property
    def key(self) -> int:
        return self.session.pk

    @property
    def lockout_days(self) -> int:
        """From an hour to the same hour of the next day by the clock, a begun day counts."""
        if not self.session.lockout:
            return 0
        on_the_clock = [
            at.astimezone(ZONE).replace(tzinfo=None)
            for at in (self.session.starts_at, self.session.ends_at)
        ]
        length = on_the_clock[1] - on_the_clock[0]
        return max(1, Fraction(length / timedelta(minutes=1)).__ceil__() + 1439) // 1440

    def charged_for(self, stretches: list[Stretch]) -> Charged:
        return charged(
            self.card,
            self.things,
            days_of(stretches),
            set_up=self.set_up,
            lockout_days=self.lockout_days,
            discount=self.discount,
        )

    @property
    def as_planned(self) -> Charged:
        whole = [(self.session.starts_at, self.session.ends_at)]
        return self.charged_for(self.planned if self.session.lockout else whole)

    @property
    def has_price(self) -> bool:
        """Nothing that it takes is charged by hours that nobody planned."""
        if self.planned or not self.session.lockout:
            return True
        return not any(
            {"hour", "day"} & thing.prices.keys() and "lockout" not in thing.prices
            for thing in self.things
        )

    def as_cancelled(self, at: datetime) -> Charged | None:
        """What the terms ask at that moment, of the newest quote, or else of what is planned; None where
        they give no amount."""
        if self.terms is None:
            return None
        notice = Fraction((self.session.starts_at - at) / timedelta(hours=1))
        percent, of = self.terms.charge(max(notice, ZERO))
        if not percent:
            return Charged(self.card.currency, {}, ZERO)
        if not self.quote and not self.has_price:
            return None
        fee = self.quote[1] if self.quote else self.as_planned
        share = fee.deposit if of == "deposit" else fee.total
        return fee.part(share, percent)

    @property
    def older(self) -> list[Paper]:
        """Those in whose place the newest is charged, whatever their kind: a session is charged once."""
        return self.papers[:-1]

    @property
    def as_worked(self) -> Charged:
        """By terms, time counts from the booked start where work began later than the grace."""
        began = min(starts_at for starts_at, _ in self.worked)
        late = began - self.session.starts_at
        waited = []
        if self.terms and not self.session.lockout and late > timedelta(minutes=self.terms.grace):
            waited = [(self.session.starts_at, began)]
        return self.charged_for([*waited, *self.worked])


class Jobs:
    """Each takes days of its own, so that nothing clashes. What a method refuses changes nothing."""

    def __init__(self, world: World):
        self.world, self.chance = world, world.chance
        self.all: list[Job] = []
        self.taken: set[date] = set()

    def book(self, today: date) -> Job | None:
        world, some = self.world, self.chance.choice
        lockout = self.chance.random() < 0.2
        day = today + timedelta(days=self.chance.randrange(1, 30))
        days = {day + timedelta(days=each) for each in range(4 if lockout else 2)}
        if days & self.taken:
            return None
        starts = self.chance.randrange(9 * 60, 14 * 60, 5)
        length = self.chance.randrange(24, 56) * 60 if lockout else self.chance.randrange(5, 700, 5)
        card, project = some(world.cards), some(world.projects)
        terms = some([None, *world.terms])
        padding = Padding(some([0, 20, 60]), some([0, 25, 90]))
        chosen = {
            "room": self.chance.sample(world.rooms, self.chance.randint(1, 2)),
            "person": self.chance.sample(world.people, self.chance.randint(0, 2)),
            "unit": self.chance.sample(world.units, self.chance.randint(0, 2)),
        }
        discount = Decimal(some(["0", "0", "10", "33.33"]))
        session = book_session(
            project,
            title=f"Session {len(self.all) + 1}",
            starts_at=world.at(day, starts),
            ends_at=world.at(day, starts + length),
            status=Status.CONFIRMED,
            rooms=chosen["room"],
            people=chosen["person"],
            units=chosen["unit"],
            padding={each: padding for things in chosen.values() for each in things},
            all_the_same=True,
            lockout=lockout,
            rate_card=card,
            cancellation_terms=terms,
            discount_percent=discount,
            by=world.manager,
        )
        self.taken |= days
        things = [
            world.things[card.pk, kind, each.pk] for kind, many in chosen.items() for each in many
        ]
        job = Job(
            session,
            project.client_id,
            world.rules[card.pk],
            things,
            Fraction(discount),
            padding.before + padding.after,
            world.charges[terms.pk] if terms else None,
        )
        self.all.append(job)
        return job

    def plan(self, job: Job) -> None:
        """Hours inside a lockout."""
        starts_at = job.session.starts_at + timedelta(minutes=self.chance.randrange(0, 200, 7))
        stretch = (starts_at, starts_at + timedelta(minutes=self.chance.randrange(30, 900, 7)))
        self._write(job, Kind.PLANNED, stretch)
        job.planned.append(stretch)

    def work(self, job: Job) -> None:
        """Hours after those that were worked already, if any."""
        begins = max((ends_at for _, ends_at in job.worked), default=job.session.starts_at)
        starts_at = begins + timedelta(minutes=self.chance.choice([0, 5, 15, 16, 45]))
        stretch = (starts_at, starts_at + timedelta(minutes=self.chance.randrange(1, 500)))
        self._write(job, Kind.ACTUAL, stretch)
        job.worked.append(stretch)

    def _write(self, job: Job, kind: str, stretch: Stretch) -> None:
        starts_at, ends_at = stretch
        write_hours(
            job.session,
            kind=kind,
            starts_at=starts_at,
            ends_at=ends_at,
            all_the_same=True,
            by=self.world.manager,
        )

    def quote(self, job: Job) -> MoneyPaper:
        paper = issue_paper(job.session, kind=PaperKind.QUOTE, by=self.world.manager)
        job.quote = (paper.pk, job.as_planned)
        job.quotes.append(paper.pk)
        return paper

    def wrap(self, job: Job) -> None:
        for to in (Status.UNDER_WAY, Status.WRAPPED):
            set_status(job.session, to=to, by=self.world.manager)

    def order(self, job: Job) -> MoneyPaper:
        paper = issue_paper(job.session, kind=PaperKind.WORK_ORDER, by=self.world.manager)
        job.papers.append(Paper(paper.pk, job.as_worked, paper.kind))
        job.is_void = False
        return paper

    def cancel(self, job: Job) -> MoneyPaper | None:
        charged = job.as_cancelled(timezone.now())
        paper = cancel_session(job.session, by=self.world.manager)
        if paper:
            job.papers.append(Paper(paper.pk, charged, paper.kind))
            job.is_void = False
        return paper

    def reopen(self, job: Job) -> None:
        """Its charge is void, and it is booked as before."""
        for to in (Status.ENQUIRY, Status.CONFIRMED):
            set_status(job.session, to=to, by=self.world.manager)
        job.is_void = bool(job.papers and job.papers[-1].kind == PaperKind.CANCELLATION)
