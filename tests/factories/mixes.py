import factory
from factory.django import DjangoModelFactory

from sessions.deliverables.mixes.models import MixInsert, MixRevision, MixSend, MixSetup, MixStrip
from tests.factories.equipment import UnitFactory
from tests.factories.people import ProjectFactory, UserFactory


class MixSetupFactory(DjangoModelFactory):
    class Meta:
        model = MixSetup
        skip_postgeneration_save = True

    project = factory.SubFactory(ProjectFactory)
    name = factory.Sequence(lambda n: f"Rough mixes {n}")

    @factory.post_generation
    def songs(self, create, songs, **_):
        self.songs.add(*songs or ())


class MixRevisionFactory(DjangoModelFactory):
    class Meta:
        model = MixRevision

    setup = factory.SubFactory(MixSetupFactory)
    created_by = factory.SubFactory(UserFactory)


class MixStripFactory(DjangoModelFactory):
    class Meta:
        model = MixStrip

    revision = factory.SubFactory(MixRevisionFactory)
    position = factory.LazyAttribute(lambda strip: strip.revision.strips.count() + 1)
    name = factory.Sequence(lambda n: f"Strip {n}")


class MixInsertFactory(DjangoModelFactory):
    class Meta:
        model = MixInsert

    strip = factory.SubFactory(MixStripFactory)
    position = 1
    unit = factory.SubFactory(UnitFactory)


class MixSendFactory(DjangoModelFactory):
    class Meta:
        model = MixSend

    strip = factory.SubFactory(MixStripFactory)
    to = "Hall"
    level = "−12 dB"
