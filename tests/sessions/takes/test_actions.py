import pytest
from django.db import IntegrityError

from sessions.bookings.models import Status
from sessions.takes.actions import TakeRefused, circle_parts, correct_part, log_take, mark_take
from sessions.takes.models import Mark, Take, TakePart
from tests.factories import (
    TEN_O_CLOCK,
    ChainFactory,
    LyricLineFactory,
    PartFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    SongFactory,
    StageFactory,
    TakeFactory,
)
from tests.sessions.takes.seen import seen

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    return PartFactory(name="Lead vocal")


@pytest.fixture
def session(part):
    return RecordingSessionFactory(project=part.song.project, status=Status.UNDER_WAY)


@pytest.fixture
def setup(session):
    return SetupFactory(session=session)


def chain(setup, part=None):
    return RevisionFactory(chain=ChainFactory(setup=setup, part=part))


def test_log_take_numbers_run_on_over_parts_and_sessions_of_the_song(part, session):
    later = RecordingSessionFactory(project=part.song.project)
    other = PartFactory(song=part.song)

    numbers = [
        log_take(part, session=session, setup=None).number,
        log_take(part, session=session, setup=None, mark=Mark.NO_GOOD).number,
        log_take(part, session=later, setup=None).number,
        log_take(other, session=later, setup=None).number,
    ]

    assert numbers == [1, 2, 3, 4]


def test_log_take_fixes_the_newest_revision_of_the_chains_in_force(part, session, setup):
    """
    [voice] --chain of the part, revisions 1 and 2--> take
    [room]  --chain of no part, revision 1----------> take
    [fiddle]--chain of another part-----------------> not in force
    """
    voice = chain(setup, part)
    newest = RevisionFactory(chain=voice.chain, number=2)
    room = chain(setup)
    fiddle = chain(setup, PartFactory(song=part.song))

    take = log_take(part, session=session, setup=setup)

    assert set(take.revisions.all()) == {newest, room}
    for revision in (newest, room):
        revision.refresh_from_db()
        assert revision.is_fixed
    for revision in (voice, fiddle):
        revision.refresh_from_db()
        assert not revision.is_fixed


def test_log_take_makes_settings_stand_for_good(part, session, setup):
    stage = StageFactory(revision=chain(setup, part), settings={"gain": 35})
    log_take(part, session=session, setup=setup)

    stage.settings = {"gain": 40}

    with pytest.raises(IntegrityError, match="revision_fixed"):
        stage.save()


def test_log_take_later_keeps_the_time_it_happened(part, session, setup):
    revision = chain(setup, part)

    take = log_take(part, session=session, setup=setup, at=TEN_O_CLOCK)

    revision.refresh_from_db()
    assert (take.logged_at, take.ended_at, revision.fixed_at) == (TEN_O_CLOCK,) * 3


def test_log_take_rolling_has_a_start_and_no_end(part, session):
    take = log_take(part, session=session, setup=None, rolling=True)

    assert take.started_at == take.logged_at
    assert take.is_rolling


def test_log_take_after_the_fact_claims_no_start(part, session):
    take = log_take(part, session=session, setup=None, mark=Mark.COMPLETE)

    assert (take.started_at, take.ended_at) == (None, take.logged_at)


@pytest.mark.parametrize("status", [Status.ENQUIRY, Status.CANCELLED])
def test_log_take_refused_where_nothing_is_recorded(part, session, status):
    session.status = status

    with pytest.raises(TakeRefused, match="confirm it before"):
        log_take(part, session=session, setup=None)

    assert not Take.objects.exists()


def test_log_take_refused_for_a_song_of_another_project(session):
    with pytest.raises(TakeRefused, match="another project"):
        log_take(PartFactory(), session=session, setup=None)


def test_log_take_refused_for_a_setup_of_another_session(part, session):
    with pytest.raises(TakeRefused, match="another session"):
        log_take(part, session=session, setup=SetupFactory())


def test_mark_take_ends_a_rolling_take(part, session):
    take = log_take(part, session=session, setup=None, rolling=True)

    mark_take(take, seen=seen(take), mark=Mark.BREAKDOWN)

    take.refresh_from_db()
    assert take.take_parts.get().mark == Mark.BREAKDOWN
    assert take.ended_at >= take.started_at


def test_mark_take_keeps_one_master_a_part(part, session):
    first = log_take(part, session=session, setup=None, mark=Mark.MASTER)
    second = log_take(part, session=session, setup=None)

    earlier = mark_take(second, seen=seen(second), mark=Mark.MASTER)

    before = first.take_parts.get()
    assert earlier == [before]
    assert (before.mark, before.version) == (Mark.HOLD, 2)  # who has it open will be told
    assert second.take_parts.get().mark == Mark.MASTER


@pytest.mark.parametrize("mark", [Mark.FALSE_START, Mark.LONG_FALSE_START])
def test_false_start_cannot_be_chosen(mark):
    take = TakeFactory(mark=mark)

    with pytest.raises(TakeRefused, match="can’t be chosen"):
        circle_parts(take, seen=seen(take), circled=True)


def test_circled_take_cannot_become_a_false_start():
    take = TakeFactory()
    circle_parts(take, seen=seen(take), circled=True)

    with pytest.raises(TakeRefused, match="remove the circle first"):
        mark_take(take, seen=seen(take), mark=Mark.FALSE_START)


def test_circle_comes_off_again():
    take = TakeFactory(circled=True)

    circle_parts(take, seen=seen(take), circled=False)

    assert not take.take_parts.get().circled


def test_correct_part_changes_what_was_written(part):
    earlier = TakeFactory(part=part, mark=Mark.MASTER)
    of_take = TakeFactory(part=part).take_parts.get()
    facts = {"mark": Mark.MASTER, "circled": True, "note": "best tag", "grade": 5}

    was_master = correct_part(of_take, version=of_take.version, **facts)

    assert was_master == [earlier.take_parts.get()]
    assert TakePart.objects.filter(pk=of_take.pk, **facts).exists()


def test_chosen_takes_are_circled_master_or_picked_in_the_comp():
    song = SongFactory()
    part = PartFactory(song=song)
    line = LyricLineFactory(section__song=song)
    circled = TakeFactory(part=part, circled=True)
    master = TakeFactory(part=part, mark=Mark.MASTER)
    picked = TakeFactory(part=part)
    TakeFactory(part=part, mark=Mark.COMPLETE)
    part.comp_choices.create(line=line, take=picked)

    assert set(Take.objects.chosen()) == {circled, master, picked}
