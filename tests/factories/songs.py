import factory
from factory.django import DjangoModelFactory

from sessions.songs.models import LyricLine, Part, Section, Song
from tests.factories.people import ProjectFactory


class SongFactory(DjangoModelFactory):
    class Meta:
        model = Song

    project = factory.SubFactory(ProjectFactory)
    title = factory.Sequence(lambda n: f"Slow the Lantern {n}")


class SectionFactory(DjangoModelFactory):
    class Meta:
        model = Section

    song = factory.SubFactory(SongFactory)
    position = factory.Sequence(lambda n: n + 1)
    name = factory.Sequence(lambda n: f"Verse {n + 1}")


class LyricLineFactory(DjangoModelFactory):
    class Meta:
        model = LyricLine

    section = factory.SubFactory(SectionFactory)
    position = factory.Sequence(lambda n: n + 1)
    text = "The frost is on the morning"


class PartFactory(DjangoModelFactory):
    class Meta:
        model = Part

    song = factory.SubFactory(SongFactory)
    name = factory.Sequence(lambda n: f"Harmony {n + 1}")
