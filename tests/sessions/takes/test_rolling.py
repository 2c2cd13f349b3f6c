"""A chain that is changed while a take rolls."""

from datetime import timedelta

import pytest

from sessions.bookings.models import Status
from sessions.setups.chains.actions import Seen
from sessions.setups.editor.actions import set_field
from sessions.setups.placement.actions import place_microphone
from sessions.takes.actions import log_take, mark_take
from sessions.takes.models import Mark
from tests.factories import (
    ChainFactory,
    ControlFactory,
    PartFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    StageFactory,
)
from tests.factories.people import UserFactory
from tests.sessions.takes.seen import seen

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    return PartFactory()


@pytest.fixture
def setup(part):
    session = RecordingSessionFactory(project=part.song.project, status=Status.UNDER_WAY)
    return SetupFactory(session=session)


@pytest.fixture
def chain(setup, part):
    """Its preamplifier's gain stands at 30 dB."""
    chain = ChainFactory(setup=setup, part=part)
    stage = StageFactory(revision=RevisionFactory(chain=chain), settings={"gain": 30})
    ControlFactory(panel=stage.panel, key="gain")
    return chain


def turn(chain, was, value):
    stage = chain.revisions.newest().get().stages.get()
    by = UserFactory()
    return set_field(
        chain, key=f"{stage.unit_id}", name="control-gain", was=was, value=value, by=by
    )


def gains(take):
    """What the take went through, in order, and since when: as seconds, None from its start."""
    return [
        (each.revision.number, each.revision.stages.get().settings["gain"], bool(each.since))
        for each in take.through.all()
    ]


def test_take_goes_on_through_the_next_revision(setup, chain, part):
    take = log_take(part, session=setup.session, setup=setup, rolling=True)

    turn(chain, 30, 33)
    turn(chain, 33, 36)

    assert gains(take) == [(1, 30, False), (2, 33, True), (3, 36, True)]
    moments = [each.since for each in take.through.all()][1:]
    assert take.started_at <= moments[0] <= moments[1]
    assert not chain.revisions.filter(fixed_at=None).exists()


def test_change_between_takes_is_that_of_the_next_one(setup, chain, part):
    take = log_take(part, session=setup.session, setup=setup, rolling=True)
    mark_take(take, seen=seen(take), mark=Mark.COMPLETE)

    turn(chain, 30, 33)
    after = log_take(part, session=setup.session, setup=setup)

    assert (gains(take), gains(after)) == ([(1, 30, False)], [(2, 33, False)])


def test_change_of_another_chain_is_not_the_takes(setup, chain, part):
    other = ChainFactory(setup=setup, part=PartFactory(song=part.song, name="Drums"))
    RevisionFactory(chain=other)
    take = log_take(part, session=setup.session, setup=setup, rolling=True)

    place_microphone(other, seen=Seen.of(other.revisions.get()), by=UserFactory(), distance_cm=30)

    assert gains(take) == [(1, 30, False)]
    assert other.revisions.get().fixed_at is None


def test_microphone_that_was_moved_while_it_rolled_stands_in_order(setup, chain, part):
    take = log_take(part, session=setup.session, setup=setup, rolling=True)
    newest = chain.revisions.newest().get()

    place_microphone(chain, seen=Seen.of(newest), by=UserFactory(), distance_cm=30)

    _, moved = take.through.all()
    assert moved.revision.placement.distance_cm == 30
    assert moved.since - take.started_at < timedelta(minutes=1)
