from datetime import timedelta

import factory
from django.utils import timezone
from factory.django import DjangoModelFactory

from sessions.deliveries.models import (
    ApprovedRecipient,
    DeliveredItem,
    Delivery,
    DeliveryLink,
    DeliveryRecipient,
)
from sessions.links.models import hash_of
from tests.factories.deliverables import DeliverableFactory
from tests.factories.people import ProjectFactory, UserFactory
from tests.factories.songs import SongFactory


class ApprovedRecipientFactory(DjangoModelFactory):
    class Meta:
        model = ApprovedRecipient

    project = factory.SubFactory(ProjectFactory)
    name = "Hesper Dunnage"
    email = factory.Sequence(lambda n: f"hesper{n}@tidewater.example")


class DeliveryFactory(DjangoModelFactory):
    """Nothing is sent by it yet: DeliveredItemFactory."""

    class Meta:
        model = Delivery

    song = factory.SubFactory(SongFactory)
    expires_at = factory.LazyFunction(lambda: timezone.now() + timedelta(days=14))
    sent_by = factory.SubFactory(UserFactory)
    sent_at = factory.LazyFunction(lambda: timezone.now() + timedelta(seconds=1))  # after its files


class DeliveredItemFactory(DjangoModelFactory):
    class Meta:
        model = DeliveredItem

    delivery = factory.SubFactory(DeliveryFactory)
    deliverable = factory.SubFactory(
        DeliverableFactory, song=factory.SelfAttribute("..delivery.song")
    )


class DeliveryRecipientFactory(DjangoModelFactory):
    class Meta:
        model = DeliveryRecipient

    delivery = factory.SubFactory(DeliveryFactory)
    name = "Hesper Dunnage"
    email = factory.Sequence(lambda n: f"hesper{n}@tidewater.example")


class DeliveryLinkFactory(DjangoModelFactory):
    class Meta:
        model = DeliveryLink

    recipient = factory.SubFactory(DeliveryRecipientFactory)
    token_hash = factory.Sequence(lambda n: hash_of(f"delivered secret {n}"))
    made_by = factory.SubFactory(UserFactory)
    expires_at = factory.SelfAttribute("recipient.delivery.expires_at")
