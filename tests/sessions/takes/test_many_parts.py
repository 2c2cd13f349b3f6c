"""Takes of several parts at once, and punch-ins into them."""

import pytest
from django.db import IntegrityError

from sessions.bookings.models import Status
from sessions.takes.actions import TakeRefused, circle_parts, log_take, mark_take
from sessions.takes.in_force import parts_set_up
from sessions.takes.models import CompChoice, Mark, Take, TakePart
from tests.factories import (
    ChainFactory,
    LyricLineFactory,
    PartFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    SongFactory,
    TakeFactory,
)
from tests.sessions.takes.seen import seen

pytestmark = pytest.mark.django_db


@pytest.fixture
def song():
    return SongFactory()


@pytest.fixture
def session(song):
    return RecordingSessionFactory(project=song.project, status=Status.UNDER_WAY)


@pytest.fixture
def setup(session):
    return SetupFactory(session=session)


@pytest.fixture
def band(song):
    return [PartFactory(song=song, name=name) for name in ("Bass", "Drums", "Piano")]


def chain(setup, *parts):
    return RevisionFactory(chain=ChainFactory(setup=setup, parts=parts))


def marks(take):
    return dict(take.take_parts.values_list("part__name", "mark"))


def test_take_of_a_band_has_one_number_and_a_mark_for_each_part(session, band):
    take = log_take(*band, session=session, setup=None, mark=Mark.COMPLETE)
    bass = take.take_parts.get(part=band[0])

    mark_take(take, seen={bass.pk: bass.version}, mark=Mark.MASTER)

    assert take.number == 1
    assert marks(take) == {"Bass": "master", "Drums": "complete", "Piano": "complete"}


def test_take_goes_through_every_chain_that_carries_one_of_its_parts(session, setup, band):
    """
    [bass], [piano, drums]: carried; [flute]: not; [room]: carries whatever is recorded
    """
    bass, drums, piano = band
    flute = PartFactory(song=bass.song, name="Flute")
    first, both = chain(setup, bass), chain(setup, drums, piano)
    chain(setup, flute)
    room = chain(setup)

    take = log_take(bass, piano, session=session, setup=setup)

    through = {of.part: [each.revision for each in of.through()] for of in take.take_parts.all()}
    assert through == {bass: [first, room], piano: [both, room]}


def test_parts_are_those_that_the_chains_carry_of_the_song(setup, band):
    """One setup for two songs of the day."""
    other = PartFactory(song__project=band[0].song.project, name="Bass")
    chain(setup, band[0], other)
    chain(setup, band[1])
    chain(setup)

    assert parts_set_up(setup, band[0].song) == band[:2]
    assert parts_set_up(setup, other.song) == [other]
    assert parts_set_up(None, other.song) == []


def test_all_parts_are_marked_and_circled_with_one_press(session, band):
    take = log_take(*band, session=session, setup=None)
    earlier = TakeFactory(part=band[1], mark=Mark.MASTER)

    before = mark_take(take, seen=seen(take), mark=Mark.MASTER)
    circle_parts(take, seen=seen(take), circled=True)

    assert before == [earlier.take_parts.get()]
    assert marks(earlier) == {"Drums": "hold"}
    assert set(marks(take).values()) == {"master"}
    assert take.take_parts.filter(circled=True).count() == 3


def test_refused_for_one_part_none_is_marked(session, band):
    take = log_take(*band, session=session, setup=None)
    piano = take.take_parts.get(part=band[2])
    circle_parts(take, seen={piano.pk: piano.version}, circled=True)

    with pytest.raises(TakeRefused, match="remove the circle first"):
        mark_take(take, seen=seen(take), mark=Mark.FALSE_START)

    assert set(marks(take).values()) == {""}


def test_take_of_parts_of_two_songs_is_refused(session, band):
    other = PartFactory(song__project=session.project)

    with pytest.raises(TakeRefused, match="one song"):
        log_take(band[0], other, session=session, setup=None)


def test_part_of_another_song_is_no_part_of_a_take(band):
    take = TakeFactory(parts=band)

    with pytest.raises(IntegrityError, match="take_of_one_song"):
        TakePart.objects.create(take=take, part=PartFactory())


def test_punch_in_goes_into_a_take_of_its_parts(session, band):
    whole = log_take(*band, session=session, setup=None)

    take = log_take(band[0], session=session, setup=None, kind="punch_in", into=whole)

    assert (take.number, take.into) == (2, whole)
    with pytest.raises(TakeRefused, match="not a whole take of these parts"):
        log_take(band[0], session=session, setup=None, kind="punch_in", into=take)
    with pytest.raises(TakeRefused, match="not a whole take of these parts"):
        log_take(*band, session=session, setup=None, kind="punch_in", into=take)


@pytest.mark.parametrize("into", ["a later take", "a punch-in", "another song"])
def test_database_lets_a_punch_in_go_into_an_earlier_whole_take_only(song, into):
    part = PartFactory(song=song)
    first, second = TakeFactory(part=part, number=1), TakeFactory(part=part, number=2)
    wrong = {
        "a later take": lambda: TakeFactory(part=part, number=9),
        "a punch-in": lambda: TakeFactory(part=part, number=3, kind="punch_in", into=first),
        "another song": lambda: TakeFactory(number=1),
    }[into]()
    take = TakeFactory(part=part, number=4, kind="punch_in", into=second)

    with pytest.raises(IntegrityError, match="punch_in"):
        Take.objects.filter(pk=take.pk).update(into=wrong)


def test_take_that_was_punched_into_stays_whole(song):
    part = PartFactory(song=song)
    first, second = TakeFactory(part=part, number=1), TakeFactory(part=part, number=2)
    TakeFactory(part=part, number=3, kind="punch_in", into=second)

    with pytest.raises(IntegrityError, match="punch_in"):
        Take.objects.filter(pk=second.pk).update(kind="punch_in", into=first)


def test_punch_in_that_is_chosen_is_made_of_the_take_it_goes_into_too(song):
    part, other = PartFactory(song=song), PartFactory(song=song, name="Drums")
    whole = TakeFactory(parts=[part, other], number=1)
    TakeFactory(part=part, number=2, kind="punch_in", into=whole, circled=True)

    chosen = TakePart.objects.chosen()

    assert {(each.part, each.take.number) for each in chosen} == {(part, 1), (part, 2)}


def test_comp_takes_from_a_take_of_its_part(song):
    part, other = PartFactory(song=song), PartFactory(song=song, name="Drums")
    line = LyricLineFactory(section__song=song)

    with pytest.raises(IntegrityError, match="comp"):
        CompChoice.objects.create(part=part, line=line, take=TakeFactory(part=other))
