"""A studio with rate cards of every kind, and what its bookkeeper knows of them."""

import random
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

from django.conf import settings

from gear.equipment.models import Unit
from sessions.clients.models import Client, Person, Project
from sessions.rooms.models import HouseRules, Room, Studio
from sessions.terms.models import CancellationTerms, RateCard
from studio.models import User
from studio.roles import Role
from tests.factories import (
    CancellationStepFactory,
    CancellationTermsFactory,
    ClientFactory,
    PersonFactory,
    ProjectFactory,
    RateCardFactory,
    RateFactory,
    RoomFactory,
    UnitFactory,
    UserFactory,
)
from tests.measure.money.books import PLACES
from tests.measure.money.charges import Card, Terms, Thing

ZONE = ZoneInfo(settings.TIME_ZONE)
# Over both changes of the clocks of a year.
FIRST_DAY = date(2026, 2, 20)
TAXES = (0, 5, 7, Decimal("17.5"), 19, 20, Decimal("25.5"))
BASES = {  # of a kind of thing, one of these sets of prices
    "room": [("hour",), ("day",), ("hour", "day"), ("hour", "day", "lockout"), ("session", "hour")],
    "person": [("hour",), ("day",), ("hour", "day")],
    "unit": [("session",), ("day",), ("hour",), ("session", "lockout")],
}


STEPS = (  # of two kinds of terms: grace, and least hours of notice, per cent, of what
    (0, ((240, "0", "fee"), (48, "100", "deposit"), (0, "50", "fee"))),
    (15, ((24, "25", "fee"), (0, "33.33", "fee"))),
)


@dataclass(frozen=True)
class World:
    """`rules` and `charges` are cards and terms by their keys, as the bookkeeper has them; `things` by
    card and by thing."""

    chance: random.Random
    clients: list[Client]
    projects: list[Project]
    rooms: list[Room]
    people: list[Person]
    units: list[Unit]
    terms: list[CancellationTerms]
    cards: list[RateCard]
    manager: User
    rules: dict[int, Card] = field(default_factory=dict)
    things: dict[tuple, Thing] = field(default_factory=dict)
    charges: dict[int, Terms] = field(default_factory=dict)

    @classmethod
    def make(cls, chance: random.Random) -> "World":
        HouseRules.to_edit()
        Studio.to_edit()
        clients = [ClientFactory() for _ in range(3)]
        world = cls(
            chance=chance,
            clients=clients,
            projects=[ProjectFactory(client=each) for each in clients for _ in range(2)],
            rooms=RoomFactory.create_batch(2),
            people=PersonFactory.create_batch(3, bookable=True),
            units=UnitFactory.create_batch(3),
            terms=[],
            cards=[],
            manager=UserFactory(role=Role.MANAGER),
        )
        for currency in (*PLACES, "GBP"):
            world.add_card(currency)
        for grace, steps in STEPS:
            world.add_terms(grace, steps)
        return world

    def add_terms(self, grace: int, steps: tuple[tuple[int, str, str], ...]) -> None:
        terms = CancellationTermsFactory(grace_minutes=grace)
        self.terms.append(terms)
        below = None
        for least, percent, of in steps:
            CancellationStepFactory(
                terms=terms,
                notice_from=least,
                notice_below=below,
                percent=Decimal(percent),
                charge_of=of,
            )
            below = least
        exact = tuple((least, Fraction(percent), of) for least, percent, of in steps)
        self.charges[terms.pk] = Terms(grace, exact)

    def add_card(self, currency: str) -> None:
        some = self.chance.choice
        facts = {
            "minimum_minutes": some([0, 60, 100, 240]),
            "step_minutes": some([1, 7, 15, 30, 60]),
            "day_minutes": some([480, 600]),
            "overtime_after_minutes": some([None, 360, 480]),
            "overtime_percent": Decimal(some(["25", "33.33", "50"])),
            "deposit_percent": Decimal(some(["10", "33.33", "50"])),
            "tax_percent": Decimal(some(TAXES)),
            "set_up_percent": Decimal(some(["0", "50", "100"])),
        }
        card = RateCardFactory(currency=currency, **facts)
        self.cards.append(card)
        self.rules[card.pk] = Card(
            currency,
            minimum=facts["minimum_minutes"],
            step=facts["step_minutes"],
            day=facts["day_minutes"],
            overtime_after=facts["overtime_after_minutes"],
            overtime=Fraction(facts["overtime_percent"]),
            deposit=Fraction(facts["deposit_percent"]),
            tax=Fraction(facts["tax_percent"]),
            set_up=Fraction(facts["set_up_percent"]),
        )
        for kind, things in (("room", self.rooms), ("person", self.people), ("unit", self.units)):
            for thing in things:
                self._price(card, kind, thing)

    def _price(self, card: RateCard, kind: str, thing) -> None:
        prices, taxes = {}, {}
        for basis in self.chance.choice(BASES[kind]):
            amount = Decimal(self.chance.randrange(0, 90_000)) / 100
            if PLACES[card.currency] == 0:
                amount = amount.quantize(Decimal(1))
            own = self.chance.choice([None, None, None, Decimal(self.chance.choice(TAXES))])
            RateFactory(
                card=card,
                basis=basis,
                amount=amount,
                tax_percent=own,
                **{"room": None, kind: thing},
            )
            prices[basis] = Fraction(amount)
            if own is not None:
                taxes[basis] = Fraction(own)
        self.things[card.pk, kind, thing.pk] = Thing(prices, taxes, is_gear=kind == "unit")

    def at(self, day: date, minutes: int) -> datetime:
        """So many minutes after midnight on the studio's clock."""
        local = datetime.combine(day, time()) + timedelta(minutes=minutes)
        return local.replace(tzinfo=ZONE).astimezone(UTC)


def days_of(stretches: list[tuple[datetime, datetime]]) -> list[int]:
    """Elapsed minutes by the day on which the work began, for stretches of less than a day."""
    minutes: dict[date, int] = {}
    for starts_at, ends_at in stretches:
        day = starts_at.astimezone(ZONE).date()
        elapsed = int((ends_at - starts_at).total_seconds()) // 60
        minutes[day] = minutes.get(day, 0) + elapsed
    return list(minutes.values())
