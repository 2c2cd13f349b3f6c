from decimal import Decimal

from gear.acting import action
from sessions.clients.models import Person
from sessions.rooms.models import HouseRules, Room
from sessions.terms.agreements.actions import agree
from sessions.terms.agreements.models import Agreement
from sessions.terms.models import (
    Basis,
    CancellationStep,
    CancellationTerms,
    NoticeUnit,
    Rate,
    RateCard,
)
from studio.models import User


@action
def become_person(user: User, *, name: str, bookable: bool, by) -> Person:
    """Who signs in is one of People: somebody listed with their e-mail address, or new there."""
    person = None
    if user.email:
        listed = Person.objects.current().filter(user=None, email__iexact=user.email)
        person = listed.select_for_update(of=("self",), no_key=True).first()
    person = person or Person(email=user.email, does=user.get_role_display())
    if person.pk:
        person.version += 1
    person.name, person.bookable, person.user = name, bookable or person.bookable, user
    person.save()
    return person


@action
def add_house_rates(*, name: str, amount: Decimal, by) -> RateCard:
    """A card with one price by the hour for each room, by the currency and tax of the house rules;
    sessions begin with it from now on."""
    rules = HouseRules.current()
    card = RateCard.objects.create(
        name=name,
        currency=rules.currency,
        tax_name=rules.tax_name,
        tax_percent=rules.tax_percent,
    )
    for room in Room.objects.current():
        Rate.objects.create(card=card, room=room, basis=Basis.HOUR, amount=amount)
    _agree_for_house(by=by, rate_card=card)
    return card


@action
def add_house_terms(*, name: str, hours: Decimal, percent: Decimal, by) -> CancellationTerms:
    """With less notice than so many hours so many per cent of the fee are charged, else nothing;
    sessions begin with these terms from now on."""
    terms = CancellationTerms.objects.create(name=name)
    CancellationStep.objects.create(
        terms=terms, notice_unit=NoticeUnit.HOURS, notice_below=hours, percent=percent
    )
    CancellationStep.objects.create(
        terms=terms, notice_unit=NoticeUnit.HOURS, notice_from=hours, percent=0
    )
    _agree_for_house(by=by, cancellation_terms=terms)
    return terms


def _agree_for_house(*, by, **facts) -> None:
    """What the house has laid down already stays."""
    agreement, _ = Agreement.objects.get_or_create(client=None, project=None)
    if not any(getattr(agreement, name) for name in facts):
        agree(agreement, version=agreement.version, by=by, **facts)
