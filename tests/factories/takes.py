from datetime import timedelta

import factory
from factory.django import DjangoModelFactory

from sessions.takes.models import Take, TakePart
from tests.factories.bookings import TEN_O_CLOCK, RecordingSessionFactory
from tests.factories.songs import PartFactory


class TakeFactory(DjangoModelFactory):
    """A take of one `part`, or of several `parts` at once; mark, grade and circle are those of each."""

    class Meta:
        model = Take

    parts = ()
    part = factory.Maybe("parts", None, factory.SubFactory(PartFactory))
    song = factory.LazyAttribute(lambda take: [*take.parts, take.part][0].song)
    session = factory.SubFactory(
        RecordingSessionFactory, project=factory.SelfAttribute("..song.project")
    )
    number = factory.Sequence(lambda n: n + 1_000)  # none that a test gives
    started_at = TEN_O_CLOCK
    ended_at = TEN_O_CLOCK + timedelta(minutes=4)

    @classmethod
    def _create(cls, model, *args, parts, part, mark="", grade=None, circled=False, **facts):
        take = super()._create(model, *args, **facts)
        for each in parts or [part]:
            TakePart.objects.create(take=take, part=each, mark=mark, grade=grade, circled=circled)
        return take
