"""What the keys of the tracking page act on."""

import pytest

from sessions.takes.actions import log_take, mark_take
from sessions.takes.models import Mark
from sessions.takes.tracking.recording_now import RecordingNow
from tests.factories import PartFactory, SetupFactory
from tests.sessions.takes.seen import seen

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    return PartFactory()


@pytest.fixture
def setup(part):
    return SetupFactory(session__project=part.song.project)


def test_take_that_ends_between_two_queries_of_the_page_is_still_marked(setup, part):
    """Somebody presses while the page is put together: its takes were read, and none rolls any more."""
    take = log_take(part, session=setup.session, setup=setup, rolling=True)
    now = RecordingNow(setup.session, part.song, setup, [part])
    assert [each.is_rolling for each in now.takes] == [True]

    mark_take(take, seen=seen(take), mark=Mark.COMPLETE)

    assert now.rolling is None
    assert now.current == take


def test_take_that_rolls_for_another_part_is_not_marked(setup, part):
    other = PartFactory(song=part.song)
    log_take(other, session=setup.session, setup=setup, rolling=True)

    assert RecordingNow(setup.session, part.song, setup, [part]).current is None
