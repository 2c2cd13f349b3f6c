from decimal import Decimal

import factory
from factory.django import DjangoModelFactory

from sessions.money.models import MoneyPaper, PaperKind
from sessions.terms.models import Basis, CancellationStep, CancellationTerms, Rate, RateCard
from tests.factories.bookings import RecordingSessionFactory, RoomFactory
from tests.factories.people import UserFactory


class RateCardFactory(DjangoModelFactory):
    """Half-hour steps, two hours at least, a day of ten hours, 50 % overtime after those, 20 % tax."""

    class Meta:
        model = RateCard

    name = factory.Sequence(lambda n: f"House rates {n}")
    overtime_after_minutes = 600


class RateFactory(DjangoModelFactory):
    """45.00 an hour for a room."""

    class Meta:
        model = Rate

    card = factory.SubFactory(RateCardFactory)
    room = factory.SubFactory(RoomFactory)
    basis = Basis.HOUR
    amount = Decimal("45.00")


class CancellationTermsFactory(DjangoModelFactory):
    class Meta:
        model = CancellationTerms

    name = factory.Sequence(lambda n: f"House terms {n}")


class CancellationStepFactory(DjangoModelFactory):
    """Half the fee for less than 48 hours' notice."""

    class Meta:
        model = CancellationStep

    terms = factory.SubFactory(CancellationTermsFactory)
    notice_below = 48
    percent = 50


class MoneyPaperFactory(DjangoModelFactory):
    """A quote that says nothing; the first of its kind, since numbers have no gap."""

    class Meta:
        model = MoneyPaper

    kind = PaperKind.QUOTE
    number = 1
    session = factory.SubFactory(RecordingSessionFactory)
    issued_by = factory.SubFactory(UserFactory)
    currency = "GBP"
    net = tax = total = Decimal(0)
