from functools import cache
from io import BytesIO

import factory
from factory.django import DjangoModelFactory, FileField
from PIL import Image

from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix
from sessions.setups.models import Chain, Photo, Placement, Revision, Setup, Source, Stage, Subject
from tests.factories.bookings import RecordingSessionFactory
from tests.factories.equipment import PanelFactory, UnitFactory
from tests.factories.people import UserFactory


class SetupFactory(DjangoModelFactory):
    class Meta:
        model = Setup

    session = factory.SubFactory(RecordingSessionFactory)
    name = factory.Sequence(lambda n: f"Morning {n}")


class SourceFactory(DjangoModelFactory):
    class Meta:
        model = Source
        django_get_or_create = ("setup", "name")

    setup = factory.SubFactory(SetupFactory)
    name = "Alto voice"


class ChainFactory(DjangoModelFactory):
    class Meta:
        model = Chain

    setup = factory.SubFactory(SetupFactory)
    source = factory.SubFactory(SourceFactory, setup=factory.SelfAttribute("..setup"))
    track = "Ld Vox"

    @classmethod
    def _create(cls, model, *args, part=None, parts=(), **facts):
        """It carries one `part`, or several `parts`, or whatever is recorded. A source may be given
        by its name."""
        if isinstance(facts["source"], str):
            facts["source"] = SourceFactory(setup=facts["setup"], name=facts["source"])
        chain = super()._create(model, *args, **facts)
        chain.parts.add(*parts or filter(None, [part]))
        return chain

    @classmethod
    def _build(cls, model, *args, part=None, **facts):
        if isinstance(facts["source"], str):
            facts["source"] = Source(setup=facts["setup"], name=facts["source"])
        return super()._build(model, *args, **facts)


class RevisionFactory(DjangoModelFactory):
    class Meta:
        model = Revision

    chain = factory.SubFactory(ChainFactory)
    created_by = factory.SubFactory(UserFactory)


class StageFactory(DjangoModelFactory):
    """A unit on the panel that its model has; give `panel__...` or `panel=None` to change that."""

    class Meta:
        model = Stage

    revision = factory.SubFactory(RevisionFactory)
    position = factory.Sequence(lambda n: n + 1)
    unit = factory.SubFactory(UnitFactory)
    panel = factory.SubFactory(PanelFactory, model=factory.SelfAttribute("..unit.model"))


class PlacementFactory(DjangoModelFactory):
    class Meta:
        model = Placement

    revision = factory.SubFactory(RevisionFactory)
    distance_cm = 20


@cache
def jpeg(width: int = 40, height: int = 30) -> bytes:
    content = BytesIO()
    Image.new("RGB", (width, height), "teal").save(content, "JPEG")
    return content.getvalue()


class PhotoFactory(DjangoModelFactory):
    """Of the whole setup; of something in a chain where it is given a `revision`."""

    class Meta:
        model = Photo

    revision = None
    setup = factory.LazyAttribute(
        lambda photo: photo.revision.chain.setup if photo.revision else SetupFactory()
    )
    subject = Subject.SETUP
    about = "Morning"
    file = FileField(from_func=lambda: BytesIO(jpeg()), filename="photo.jpg")
    sha256 = factory.Sequence("{:064x}".format)
    width, height = 40, 30
    taken_by = factory.SubFactory(UserFactory)


class HeadphoneMixFactory(DjangoModelFactory):
    class Meta:
        model = HeadphoneMix

    setup = factory.SubFactory(SetupFactory)
    name = factory.Sequence(lambda n: f"Singers {n}")


class HeadphoneLineFactory(DjangoModelFactory):
    class Meta:
        model = HeadphoneLine

    mix = factory.SubFactory(HeadphoneMixFactory)
    position = factory.Sequence(lambda n: n + 1)
    source = "Click"
    level = "low"
