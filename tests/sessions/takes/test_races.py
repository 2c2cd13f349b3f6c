"""Two people at the takes of one part at the same moment, on PostgreSQL side by side."""

import pytest

from gear.editing.versions import EditedMeanwhile
from sessions.bookings.models import Status
from sessions.setups.editor.actions import set_field
from sessions.takes.actions import log_take, mark_take
from sessions.takes.models import Mark, Take, TakePart
from tests.factories import (
    ChainFactory,
    ControlFactory,
    PartFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    SongFactory,
    StageFactory,
    TakeFactory,
    UserFactory,
)
from tests.sessions.setups.chains.test_races import at_once
from tests.sessions.takes.seen import seen

pytestmark = [
    pytest.mark.postgres,
    pytest.mark.usefixtures("on_postgresql", "real_database"),
]


def marking(take, mark):
    """A job that marks the take as its editor saw it."""
    mine, versions = Take.objects.get(pk=take.pk), seen(take)
    return lambda: mark_take(mine, seen=versions, mark=mark)


def test_of_masters_marked_at_the_same_moment_one_stays_master():
    """Takes 1 to 4 of a part, each marked master by somebody: three become holds."""
    part = PartFactory()
    takes = [TakeFactory(part=part, number=number) for number in range(1, 5)]

    answers = at_once(*[marking(take, Mark.MASTER) for take in takes])

    assert [len(answer) for answer in answers if answer] == [1] * 3
    marks = TakePart.objects.values_list("mark", flat=True)
    assert sorted(marks) == [Mark.HOLD] * 3 + [Mark.MASTER]


def test_of_marks_on_one_take_at_the_same_moment_one_is_saved():
    take = TakeFactory()

    answers = at_once(*[marking(take, mark) for mark in (Mark.HOLD, Mark.COMPLETE, Mark.MASTER)])

    assert len([answer for answer in answers if isinstance(answer, EditedMeanwhile)]) == 2


def test_masters_of_several_parts_marked_at_the_same_moment_wait_for_each_other():
    song = SongFactory()
    parts = [PartFactory(song=song, name=name) for name in ("Bass", "Drums", "Piano")]
    takes = [TakeFactory(parts=parts, number=number) for number in range(1, 5)]

    answers = at_once(*[marking(take, Mark.MASTER) for take in takes])

    assert [type(answer) for answer in answers] == [list] * 4
    masters = TakePart.objects.filter(mark=Mark.MASTER)
    assert set(masters.values_list("part", flat=True)) == {part.pk for part in parts}
    assert len(masters) == 3


def test_takes_logged_at_the_same_moment_have_numbers_of_their_own():
    part = PartFactory()
    session = RecordingSessionFactory(project=part.song.project, status=Status.UNDER_WAY)

    at_once(*[lambda: log_take(part, session=session, setup=None) for _ in range(4)])

    assert sorted(Take.objects.values_list("number", flat=True)) == [1, 2, 3, 4]


def test_gain_moved_as_the_take_ends_is_within_it_or_after_it():
    part = PartFactory()
    session = RecordingSessionFactory(project=part.song.project, status=Status.UNDER_WAY)
    chain = ChainFactory(setup=SetupFactory(session=session), part=part)
    stage = StageFactory(revision=RevisionFactory(chain=chain), settings={"gain": 30})
    ControlFactory(panel=stage.panel, key="gain")
    take = log_take(part, session=session, setup=chain.setup, rolling=True)
    facts = {"key": f"{stage.unit_id}", "name": "control-gain", "was": 30, "value": 36}

    at_once(marking(take, Mark.COMPLETE), lambda: set_field(chain, by=UserFactory(), **facts))

    take.refresh_from_db()
    moved = [each.since for each in take.through.all() if each.since]
    assert all(take.started_at <= since <= take.ended_at for since in moved)
    newest = chain.revisions.newest().get()
    assert (newest.number, newest.is_fixed) == (2, bool(moved))
