from datetime import timedelta

import pytest
from django.urls import reverse

from sessions.setups.chains.actions import open_revision
from sessions.takes.models import Mark, TakeKind, TakeRevision
from sessions.takes.sheets.take_sheet import takes_of_session, takes_of_song
from tests.factories import TEN_O_CLOCK, PartFactory, RecordingSessionFactory, TakeFactory
from tests.printed import accessibility_errors, text_of
from tests.sessions.recall.recorded import chain_of, record

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    return PartFactory(name="Cornet", song__title="Slow the Lantern")


@pytest.fixture
def session(part):
    return RecordingSessionFactory(project=part.song.project)


@pytest.fixture
def chain(part, session):
    """Of the setup of a day: the cornet's."""

    def chain(track):
        return chain_of(part, session=session, track=track)

    return chain


def through(groups):
    """Of each take, whether the rest stays, and the tracks and revisions that are named."""
    return [
        (
            line.take.number,
            line.others_stay,
            line.through if line.through is None else [_named(each) for each in line.through],
        )
        for group in groups
        for line in group.takes
    ]


def _named(each: TakeRevision) -> str:
    return f"{each.revision.chain.track} {each.revision.number}"


def test_what_takes_were_recorded_through_is_said_where_it_changes(part, session, chain, engineer):
    """Takes 1 and 2 by both chains, in 3 the room's was changed, in 4 the cornet's while it rolled."""
    near, room = chain("Near"), chain("Room")
    take = {n: TakeFactory(part=part, session=session, number=n) for n in range(1, 7)}
    record(take[1], near, room)
    record(take[2], near, room)
    changed = open_revision(room.chain, by=engineer)
    record(take[3], near, changed)
    record(take[4], near, changed)
    nearer = open_revision(near.chain, by=engineer)
    record(take[4], nearer)
    record(take[5], changed, nearer)
    record(take[6], nearer)

    assert through(takes_of_song(part.song)) == [
        (1, False, ["Near 1", "Room 1"]),
        (2, True, None),
        (3, True, ["Room 2"]),
        (4, True, ["Near 1", "Near 2"]),
        (5, True, None),
        (6, False, ["Near 2"]),
    ]


def test_take_without_a_chain_says_so_and_each_session_begins_anew(part, session, chain):
    other = RecordingSessionFactory(project=part.song.project)
    record(TakeFactory(part=part, session=session, number=1), chain("Near"))
    TakeFactory(part=part, session=session, number=2)
    TakeFactory(part=part, session=other, number=3)

    assert through(takes_of_song(part.song)) == [
        (1, False, ["Near 1"]),
        (2, False, []),
        (3, False, []),
    ]
    assert [(group.session, len(group.takes)) for group in takes_of_song(part.song)] == [
        (session, 2),
        (other, 1),
    ]
    assert [each.take.number for each in takes_of_session(other)[0].takes] == [3]


def test_sheet_prints_how_each_part_came_out_and_strikes_what_was_withdrawn(
    client_of, engineer, part, session
):
    bass = PartFactory(song=part.song, name="Bass")
    facts = {"parts": [part, bass], "session": session}
    first = TakeFactory(**facts, number=1, mark=Mark.COMPLETE, grade=4, note="Slower")
    part.take_parts.update(circled=True, note="the one")
    TakeFactory(**facts, number=2, mark=Mark.NO_GOOD, withdrawn=True, note="A chair")
    TakeFactory(
        part=part,
        session=session,
        number=3,
        kind=TakeKind.PUNCH_IN,
        into=first,
        punch_in="bar 21",
        pre_roll_bars=2,
        ended_at=TEN_O_CLOCK + timedelta(seconds=65),
    )
    TakeFactory(part=part, session=session, number=4, ended_at=None)

    pdf = client_of(engineer).get(reverse("sheets:song_takes", args=[part.song.pk])).getvalue()

    text = text_of(pdf)
    assert accessibility_errors(pdf) == []
    for words in (
        "Slow the Lantern",
        "1 11:00:00 4:00 whole",
        "Cornet: complete, grade 4, circled ; the one",
        "Bass: complete, grade 4",
        "withdrawn; A chair",
        "1:05 punch-in into take 1",
        "bar 21 to the end; rolls from 2 bars before",
        "rolling",
    ):
        assert words in text, words


@pytest.mark.parametrize("count", [1, 3])
def test_sheet_costs_the_same_queries_for_any_number_of_takes(
    count, part, session, chain, django_assert_num_queries
):
    for number in range(count):
        record(TakeFactory(part=part, session=session, number=number), chain(f"Track {number}"))

    with django_assert_num_queries(4):
        takes_of_session(session)
