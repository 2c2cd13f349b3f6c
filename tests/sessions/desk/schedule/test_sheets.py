"""The sheets, made of lines that need no database."""

from datetime import UTC, date, datetime, timedelta

import pytest

from sessions.calendar.schedule.days import full_hours, period_of
from sessions.calendar.schedule.diary import LAST, Entry, Line, Part
from sessions.desk.schedule.day_sheet import day_sheet
from sessions.desk.schedule.month_sheet import month_day
from sessions.desk.schedule.shown import bookable_from, side_by_side
from sessions.desk.schedule.week_sheet import week_day

DAY = date(2026, 6, 1)
BEFORE = datetime(2026, 5, 1, tzinfo=UTC)
HOUR = timedelta(hours=1)


def at(hour: float, day=DAY):
    return period_of(day)[0] + hour * HOUR


def entry(
    start, end, title="Overdubs", *, before=0.0, after=0.0, look="confirmed", order=1, parts=None
):
    around = [
        Part("around", at(start - before), at(start), "load-in"),
        Part("work", at(start), at(end)),
        Part("around", at(end), at(end + after), "teardown"),
    ]
    return Entry(
        key=("session", hash((title, start))),
        title=title,
        starts_at=at(start),
        ends_at=at(end),
        parts=parts or tuple(part for part in around if part.starts_at < part.ends_at),
        look=look,
        order=order,
    )


def line(*entries, opened=None, day=DAY, kind="room"):
    return Line(kind, "Bread Room", list(entries), [period_of(day)] if opened is None else opened)


def words(box):
    if box.shown:
        return f"{box.shown.entry.title}, {box.part.words or box.part.look}"
    return "free" if box.free else "closed" if box.closed else "beside"


def boxes(sheet):
    return [(row.time, words(box), box.rows) for row in sheet.rows for box in row.boxes]


def test_padding_is_drawn_as_a_part_of_its_own():
    sheet = day_sheet(DAY, [line(entry(10, 14, before=0.5, after=0.75))], BEFORE)

    assert [box for box in boxes(sheet) if "Overdubs" in box[1]] == [
        ("09:30", "Overdubs, load-in", 1),
        ("10:00", "Overdubs, work", 4),
        ("14:00", "Overdubs, teardown", 1),
    ]


def test_words_stand_once_and_at_the_work():
    sheet = day_sheet(DAY, [line(entry(10, 14, before=1, after=1))], BEFORE)

    assert [(row.time, box.first) for row in sheet.rows for box in row.boxes if box.shown] == [
        ("09:00", False),
        ("10:00", True),
        ("14:00", False),
    ]


def test_words_stand_on_the_second_day_too():
    """Only the teardown reaches over midnight."""
    sheet = day_sheet(DAY, [line(entry(-2, 0, after=1))], BEFORE)

    [box] = [box for row in sheet.rows for box in row.boxes if box.shown]
    assert (box.first, box.part.words) == (True, "teardown")
    assert box.shown.period == "continued from Sun 31 May, 22:00, to 00:00"


def test_holds_at_the_same_time_stand_side_by_side():
    holds = [entry(10, 14, f"Hold {n}", look="first-hold", order=n) for n in (1, 2, 3)]

    sheet = day_sheet(DAY, [line(*holds)], BEFORE)

    [row] = [row for row in sheet.rows if row.time == "10:00"]
    assert [words(box) for box in row.boxes] == [f"Hold {n}, work" for n in (1, 2, 3)]
    assert sheet.heads[0][1] == 3


def test_closed_time_is_one_stretch_and_free_time_an_hour_each():
    sheet = day_sheet(DAY, [line(opened=[(at(9), at(12))])], BEFORE)

    found = boxes(sheet)
    assert [box[:2] for box in found if box[1] == "free"] == [
        ("09:00", "free"),
        ("10:00", "free"),
        ("11:00", "free"),
    ]
    assert [box[0] for box in found if box[1] == "closed"] == ["00:00", "12:00"]


def test_now_is_a_row_with_its_time():
    sheet = day_sheet(DAY, [line(entry(10, 14))], at(11) + timedelta(minutes=23, seconds=40))

    assert [row.time for row in sheet.rows if row.is_now] == ["11:23"]
    assert [box.shown.runs_now for row in sheet.rows for box in row.boxes if box.shown] == [True]


def test_now_of_another_day_is_not_on_the_sheet():
    assert not any(row.is_now for row in day_sheet(DAY, [line()], BEFORE).rows)


@pytest.mark.parametrize(("day", "rows"), [(date(2026, 3, 29), 23), (date(2026, 10, 25), 25)])
def test_day_of_a_clock_change_shows_every_hour(day, rows):
    sheet = day_sheet(day, [line(day=day)], BEFORE)

    assert len(sheet.rows) == rows
    assert [row.time for row in sheet.rows if row.change] == [
        {23: "02:00 BST", 25: "01:00 GMT"}[rows]
    ]


def test_hour_that_comes_twice_is_shown_free_but_not_offered():
    """A form could not say which of the two is meant."""
    day = date(2026, 10, 25)
    sheet = day_sheet(day, [line(day=day)], BEFORE)

    offered = {row.time: box.free.bookable_from for row in sheet.rows for box in row.boxes}
    assert [time for time, starts in offered.items() if starts is None] == [
        "01:00 BST",
        "01:00 GMT",
    ]


@pytest.mark.parametrize(
    ("minutes", "offered"), [(-5, 0), (0, 0), (1, 15), (15, 15), (46, None), (60, None)]
)
def test_free_time_is_offered_from_the_next_quarter_of_an_hour(minutes, offered):
    now = at(10) + timedelta(minutes=minutes)

    found = bookable_from(at(10), at(11), now)

    assert found == (None if offered is None else at(10) + timedelta(minutes=offered))


@pytest.mark.parametrize(
    ("count", "sizes"), [(0, []), (1, [1]), (6, [6]), (7, [4, 3]), (13, [5, 5, 3])]
)
def test_lines_stand_in_groups_of_about_the_same_size(count, sizes):
    assert [len(group) for group in side_by_side([line()] * count)] == sizes


def test_week_lists_what_is_on_and_what_is_free():
    cell = week_day(DAY, [line(entry(10, 14, before=1), opened=[(at(8), at(18))])], BEFORE).cells[0]

    assert cell.hours == "open 08:00 to 18:00"
    assert [getattr(each, "words", "Overdubs") for each in cell.things] == [
        "free 08:00 to 09:00",
        "Overdubs",
        "free 14:00 to 18:00",
    ]


def test_week_does_not_take_an_enquiry_for_taken_time():
    cell = week_day(DAY, [line(entry(10, 14, look="enquiry", order=LAST))], BEFORE).cells[0]

    assert "free all day" in [getattr(each, "words", "") for each in cell.things]


@pytest.mark.parametrize(("kind", "hours"), [("room", "closed"), ("person", "not working")])
def test_week_says_when_a_line_is_closed_all_day(kind, hours):
    assert week_day(DAY, [line(opened=[], kind=kind)], BEFORE).cells[0].hours == hours


def test_midnight_is_of_the_day_that_begins():
    midnight, day_before = at(0), DAY - timedelta(days=1)

    assert week_day(DAY, [], midnight).is_today
    assert not week_day(day_before, [], midnight).is_today


def test_week_offers_only_what_is_left_of_today():
    cell = week_day(DAY, [line()], at(20) + timedelta(minutes=5)).cells[0]

    [free] = cell.things
    assert free.bookable_from == at(20.25)


def test_month_names_a_session_once_with_all_that_it_takes():
    session = entry(10, 14)
    rooms = [line(session), Line("room", "Rope Floor", [session], [period_of(DAY)])]

    day = month_day(DAY, DAY, rooms, BEFORE)

    assert [(shown.entry.title, takes) for shown, takes in day.things] == [
        ("Overdubs", ["Bread Room", "Rope Floor"])
    ]
    assert day.counts == ["1 session"]


def test_month_counts_what_it_has_no_room_for():
    looks = ["confirmed", "first-hold", "second-hold", "block", "enquiry", "wrapped", "enquiry"]
    entries = [entry(n, n + 1, f"Thing {n}", look=look) for n, look in enumerate(looks)]

    day = month_day(DAY, DAY, [line(*entries)], BEFORE)

    assert day.counts == ["2 sessions", "2 holds", "1 block", "2 enquiries"]
    assert (len(day.things), day.further) == (4, 3)


def test_every_hour_of_a_plain_day_can_be_a_row():
    """Those of the night only where something happens then."""
    quiet = day_sheet(DAY, [line()], BEFORE)
    busy = day_sheet(DAY, [line(entry(2, 3))], BEFORE)

    assert len(quiet.rows) == len(full_hours(DAY)) - 6
    assert [row.time for row in busy.rows][:4] == ["00:00", "02:00", "03:00", "04:00"]
