"""Two people at the takes of one part at the same moment, on PostgreSQL side by side."""

import pytest

from gear.editing.versions import EditedMeanwhile
from sessions.takes.actions import mark_take
from sessions.takes.models import Mark, Take, TakePart
from tests.factories import PartFactory, TakeFactory
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
