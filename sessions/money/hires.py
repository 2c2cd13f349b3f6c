"""What a session takes, each with its rates on a card."""

from collections.abc import Iterable

from django.db.models import Model

from sessions.bookings.padding import Padding
from sessions.rooms.resources import KINDS
from sessions.terms.models import Rate, RateCard
from sessions.terms.pricing import Hire


def hires_of(card: RateCard, taken: Iterable[tuple[Model, Padding]]) -> list[Hire]:
    """Rooms, people and units, each with the minutes reserved around the session. One query, or none
    where the card's rates are loaded."""
    rates: dict[tuple[str, int], list[Rate]] = {}
    for rate in card.rates.all():
        rates.setdefault(rate.key, []).append(rate)
    return [_hire(resource, padding, _rates_of(resource, rates)) for resource, padding in taken]


def _hire(resource: Model, padding: Padding, rates: list[Rate]) -> Hire:
    kind = KINDS[type(resource)]
    is_gear = kind == "unit"  # whose warm-up is no work
    return Hire(
        str(resource),
        {rate.basis: rate.amount for rate in rates},
        has_overtime=not is_gear,
        kind=kind,
        set_up_minutes=0 if is_gear else padding.before + padding.after,
        taxes={rate.basis: rate.tax_percent for rate in rates if rate.tax_percent is not None},
    )


def _rates_of(resource: Model, rates: dict[tuple[str, int], list[Rate]]) -> list[Rate]:
    """A unit's own rates go before those of its model."""
    kind = KINDS[type(resource)]
    own = rates.get((kind, resource.pk), [])
    return own or (rates.get(("gear_model", resource.model_id), []) if kind == "unit" else [])
