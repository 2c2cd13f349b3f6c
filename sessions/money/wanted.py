"""The price of a session that is not booked yet."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from decimal import Decimal

from django.db.models import Model

from gear.equipment.models import Unit
from sessions.bookings.padding import Padding, usual_padding
from sessions.clients.models import Person, Project
from sessions.money.hires import hires_of
from sessions.rooms.models import Room
from sessions.terms.agreements.agreed import agreed_for
from sessions.terms.models import RateCard
from sessions.terms.prices import Price
from sessions.terms.pricing import lockout_days, price


def price_of_wanted(
    project: Project | None,
    *,
    starts_at: datetime,
    ends_at: datetime,
    rooms: Iterable[Room],
    people: Iterable[Person] = (),
    units: Iterable[Unit] = (),
    padding: Mapping[Model, Padding] | None = None,
    lockout: bool = False,
    rate_card: RateCard | None = None,
    discount_percent: Decimal | int = 0,
) -> Price | None:
    """What it would cost as `book_session` would book it: by that rate card, or by the one that was
    agreed for the project (for the house, without a project). None where there is none.

    A lockout has no planned hours yet, so what is charged by time has no price in it. Two queries,
    however much is wanted, if the models of the units are loaded; nothing is saved.
    """
    card = rate_card or agreed_for(project).rate_card
    if card is None:
        return None
    given = dict(padding or {})
    taken = [
        (each, given[each] if each in given else usual_padding(each))
        for each in (*rooms, *people, *units)
    ]
    return price(
        card,
        hires_of(card, taken),
        stretches=[] if lockout else [(starts_at, ends_at)],
        lockout_days=lockout_days(starts_at, ends_at) if lockout else 0,
        discount_percent=Decimal(discount_percent),
    )
