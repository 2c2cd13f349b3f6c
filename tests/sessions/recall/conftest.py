import pytest

from gear.equipment.models import Unit
from sessions.setups.models import Orientation
from studio.demo.equipment import fill_equipment
from tests.factories import (
    PartFactory,
    PlacementFactory,
    RecordingSessionFactory,
    StageFactory,
    TakeFactory,
)
from tests.sessions.recall.recorded import chain_of, record
from tests.sessions.recall.said import HOSTILE, STAGES, point


@pytest.fixture
def part():
    return PartFactory(name="Lead vocal", song__title="Slow the Lantern")


@pytest.fixture
def session(part):
    return RecordingSessionFactory(project=part.song.project)


@pytest.fixture
def take(part, session):
    """Recorded through a valve microphone, its supply, a preamplifier and a compressor."""
    fill_equipment()
    chain = chain_of(part, session=session, destination_input="Recorder in 1")
    for position, (tag, path, patched_in, patched_out, settings) in enumerate(STAGES, 1):
        unit = Unit.objects.select_related("model").get(asset_tag=tag)
        StageFactory(
            revision=chain,
            position=position,
            unit=unit,
            panel=unit.model.current_panel(),
            path=path,
            patch_in=point(patched_in),
            patch_out=point(patched_out),
            settings=settings,
            note=HOSTILE if tag == "CO-01" else "",
        )
    PlacementFactory(revision=chain, distance_cm=20, orientation=Orientation.HUNG)
    return record(TakeFactory(part=part, session=session, number=7, circled=True), chain)
