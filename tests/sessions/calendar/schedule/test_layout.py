"""The sheet of a day as a drawing: whatever there is, nothing is lost and nothing covers another."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from sessions.calendar.schedule.layout import BESIDE, laid_out, lanes_of, marks_of

MIDNIGHT = datetime(2026, 6, 1, tzinfo=UTC)
DAY_MINUTES = 24 * 60


def at(minute: int) -> datetime:
    return MIDNIGHT + timedelta(minutes=minute)


@dataclass(frozen=True)
class Piece:
    thing: int
    starts_at: datetime
    ends_at: datetime


@st.composite
def things(draw):
    """Up to eight things of one to three parts, anywhere within the day, over each other or not."""
    found = []
    for count in range(draw(st.integers(0, 8))):
        ends = draw(st.sets(st.integers(0, DAY_MINUTES), min_size=2, max_size=4))
        ends = sorted(ends)
        found.append([Piece(count, at(a), at(b)) for a, b in zip(ends, ends[1:], strict=False)])
    return found


def sheet_of(found, further=()):
    instants = {*map(at, further)} | {
        end for parts in found for part in parts for end in (part.starts_at, part.ends_at)
    }
    marks = marks_of(at(0), at(DAY_MINUTES), instants)
    return marks, laid_out(found, ["free"] * (len(marks) - 1), marks)


@given(things(), st.sets(st.integers(1, DAY_MINUTES - 1), max_size=5))
def test_every_place_of_the_sheet_is_covered_once(found, further):
    marks, column = sheet_of(found, further)

    covered = [
        (row, lane)
        for cell in column.cells
        for row in range(cell.row, cell.row + cell.rows)
        for lane in range(cell.lane, cell.lane + cell.lanes)
    ]

    assert sorted(covered) == [
        (row, lane) for row in range(len(marks) - 1) for lane in range(column.lanes)
    ]


@given(things())
def test_every_part_is_there_for_its_own_time_and_no_other(found):
    marks, column = sheet_of(found)

    drawn = {
        cell.what: (marks[cell.row], marks[cell.row + cell.rows])
        for cell in column.cells
        if isinstance(cell.what, Piece)
    }

    assert drawn == {part: (part.starts_at, part.ends_at) for parts in found for part in parts}


@given(things())
def test_minute_by_minute_the_sheet_shows_what_is_on(found):
    """Against a model that knows no rows: for a minute of each row, who is on at that minute."""
    marks, column = sheet_of(found)

    for row, minute in enumerate(marks[:-1]):
        shown = sorted(
            cell.what.thing
            for cell in column.cells
            if isinstance(cell.what, Piece) and cell.row <= row < cell.row + cell.rows
        )
        on = [
            count
            for count, parts in enumerate(found)
            if parts[0].starts_at <= minute < parts[-1].ends_at
        ]
        assert shown == on


@given(st.lists(st.tuples(st.integers(0, 100), st.integers(1, 50)), max_size=12))
def test_no_two_in_a_lane_at_once_and_no_lane_without_need(lengths):
    periods = [(start, start + length) for start, length in lengths]
    places = lanes_of(periods)

    for one, (lane, spread) in enumerate(places):
        for other in range(one):
            other_lane, other_spread = places[other]
            at_once = periods[one][0] < periods[other][1] and periods[other][0] < periods[one][1]
            lanes = set(range(lane, lane + spread))
            assert not (at_once and lanes & set(range(other_lane, other_lane + other_spread)))
        # Whoever stands in a further lane meets somebody in each lane before it.
        for before in range(lane):
            assert any(
                places[other][0] == before
                and periods[one][0] < periods[other][1]
                and periods[other][0] < periods[one][1]
                for other in range(one)
            )


def test_touching_periods_share_a_lane():
    assert lanes_of([(10, 14), (14, 18)]) == [(0, 1), (0, 1)]


def test_first_in_line_stands_left_and_who_is_alone_takes_the_width():
    """[ first ][second]
    [     alone     ]"""
    assert lanes_of([(10, 14), (10, 14), (15, 16)]) == [(0, 1), (1, 1), (0, 2)]


def test_gap_beside_a_hold_is_not_taken_for_free_time():
    found = [[Piece(0, at(0), at(60))], [Piece(1, at(0), at(30))]]
    marks = [at(0), at(30), at(60), at(90)]

    column = laid_out(found, ["a", "b", "c"], marks)

    gaps = [
        (c.what, c.row, c.rows, c.lane, c.lanes)
        for c in column.cells
        if not isinstance(c.what, Piece)
    ]
    assert gaps == [(BESIDE, 1, 1, 1, 1), ("c", 2, 1, 0, 2)]


def test_rows_that_are_free_alike_become_one_and_others_stay():
    marks = [at(0), at(60), at(120), at(180)]

    column = laid_out([], ["closed", "closed", "free"], marks)

    assert [(c.what, c.row, c.rows) for c in column.cells] == [("closed", 0, 2), ("free", 2, 1)]
