"""Two people, or a person and a take, at the same moment.

On PostgreSQL, where writers run side by side; on SQLite each waits until the other is through.
"""

import threading

import pytest
from django.db import connection

from gear.editing.versions import EditedMeanwhile
from sessions.setups.chains.actions import Seen, change_stage, fix_revision
from sessions.setups.models import Revision, Stage
from tests.factories import UserFactory
from tests.sessions.setups.building import preamplifier, revision_of

pytestmark = [
    pytest.mark.postgres,
    pytest.mark.usefixtures("on_postgresql", "real_database"),
]


def at_once(*jobs):
    """Run every job in a thread of its own, all from the same moment; their answers."""
    answers, together = [], threading.Barrier(len(jobs))

    def run(job):
        together.wait()
        try:
            answers.append(job())
        except EditedMeanwhile as meanwhile:
            answers.append(meanwhile)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=[job]) for job in jobs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return answers


def editing(stage, seen, gain):
    """A job that sets the gain as its editor saw the chain."""
    by = UserFactory()
    mine = Stage.objects.select_related("revision__chain").get(pk=stage.pk)
    return lambda: change_stage(mine, seen=seen, by=by, settings={"gain": gain})


@pytest.mark.parametrize("is_fixed", [False, True])
def test_of_editors_at_the_same_moment_one_saves_and_the_others_are_told(is_fixed):
    """r1: [pre], open or fixed; four editors set 10, 20, 30 and 40 at once."""
    revision = revision_of(preamplifier())
    stage, seen = revision.stages.get(), Seen.of(revision)
    if is_fixed:
        fix_revision(revision)

    answers = at_once(*[editing(stage, seen, gain) for gain in (10, 20, 30, 40)])

    [saved] = [answer for answer in answers if isinstance(answer, Stage)]
    assert len([answer for answer in answers if isinstance(answer, EditedMeanwhile)]) == 3
    newest = revision.chain.newest_revision()
    assert newest.number == (2 if is_fixed else 1)
    assert newest.stages.get().settings == saved.settings


def test_take_and_edit_at_the_same_moment_both_come_through():
    """r1: [pre]; a take fixes it while an editor sets 40: in r1 just before, or in r2."""
    revision = revision_of(preamplifier())
    stage, seen = revision.stages.get(), Seen.of(revision)
    taken = Revision.objects.get(pk=revision.pk)

    answers = at_once(editing(stage, seen, 40), lambda: fix_revision(taken))

    assert len(answers) == 2
    revision.refresh_from_db()
    assert revision.is_fixed
    newest = revision.chain.newest_revision()
    assert newest.stages.get().settings == {"gain": 40}
    assert newest.number == 1 or Stage.objects.get(pk=stage.pk).settings == {}
