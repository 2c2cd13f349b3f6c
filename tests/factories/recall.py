import factory
from factory.django import DjangoModelFactory

from sessions.recall.models import ImportedSheet, Rebuild, RebuildStep
from tests.factories.people import UserFactory
from tests.factories.setups import StageFactory
from tests.factories.songs import SongFactory


class ImportedSheetFactory(DjangoModelFactory):
    """From another studio, of a song with no chains."""

    class Meta:
        model = ImportedSheet

    song = factory.SubFactory(SongFactory)
    title = "Slow the Lantern"
    studio = "Oriel Yard"
    file_name = "recall.json"
    imported_by = factory.SubFactory(UserFactory)
    data = factory.LazyFunction(
        lambda: {
            "version": 1,
            "address": "https://x.example/",
            "studio": "Oriel Yard",
            "song": dict.fromkeys(["title", "artist", "project", "key", "meter", "note"], "")
            | dict.fromkeys(["client", "isrc", "iswc"], "")
            | {"tempo_map": []}
            | {"sample_rate_hz": 48_000, "bit_depth": 24, "full_scale_dbu": 18},
            "takes": [],
            "chains": [],
        }
    )


class RebuildFactory(DjangoModelFactory):
    class Meta:
        model = Rebuild

    song = factory.SubFactory(SongFactory)
    started_by = factory.SubFactory(UserFactory)


class RebuildStepFactory(DjangoModelFactory):
    """The first stage of the first chain, with its own unit."""

    class Meta:
        model = RebuildStep

    rebuild = factory.SubFactory(RebuildFactory)
    chain_number = 1
    stage = factory.SubFactory(StageFactory)
    position = factory.SelfAttribute("stage.position")
    unit = factory.SelfAttribute("stage.unit")
    panel = factory.SelfAttribute("stage.panel")
