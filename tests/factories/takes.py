import factory
from factory.django import DjangoModelFactory

from sessions.takes.models import Take
from tests.factories.bookings import TEN_O_CLOCK, RecordingSessionFactory
from tests.factories.songs import PartFactory


class TakeFactory(DjangoModelFactory):
    class Meta:
        model = Take

    song = factory.SelfAttribute("part.song")
    part = factory.SubFactory(PartFactory)
    session = factory.SubFactory(
        RecordingSessionFactory, project=factory.SelfAttribute("..song.project")
    )
    number = factory.Sequence(lambda n: n + 1)
    started_at = TEN_O_CLOCK
