"""The sheets, made of lines that need no database."""

from datetime import UTC, date, datetime, timedelta

import pytest

from sessions.calendar.schedule.days import full_hours, period_of
from sessions.calendar.schedule.diary import LAST, Entry, Line, Part
from sessions.desk.schedule.day_sheet import day_sheet
from sessions.desk.schedule.month_sheet import month_day
from sessions.desk.schedule.shown import bookable_from, side_by_side
from sessions.desk.schedule.week_sheet import week_sheet

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
    sheet = day_sheet(DAY, [line(opened=[(at(9), at(12))])], BEFORE, unfolded=True)

    found = boxes(sheet)
    assert [box[:2] for box in found if box[1] == "free"] == [
        ("09:00", "free"),
        ("10:00", "free"),
        ("11:00", "free"),
    ]
    assert [box[0] for box in found if box[1] == "closed"] == ["00:00", "12:00"]


def test_every_hour_is_as_high_as_the_next_whatever_stands_in_it():
    things = entry(10, 10.5, "Short"), entry(11.25, 13, "Odd", before=1 / 3)
    sheet = day_sheet(DAY, [line(*things, opened=[(at(8), at(20))])], BEFORE)

    heights: dict[str, int] = {}
    for row in sheet.rows:
        if not row.folded:
            hour = row.time[:2]
            heights[hour] = heights.get(hour, 0) + row.minutes
    assert heights == {f"{hour:02}": 60 for hour in range(8, 20)}


def test_hours_in_which_nobody_works_are_folded_unless_something_is_on():
    opened = [(at(9), at(18))]
    quiet = day_sheet(DAY, [line(opened=opened)], BEFORE)
    night = day_sheet(DAY, [line(entry(21, 23), opened=opened)], BEFORE)
    plain = day_sheet(DAY, [line(opened=opened)], BEFORE, unfolded=True)

    assert [row.folded for row in quiet.rows if row.folded] == ["00:00 to 09:00", "18:00 to 00:00"]
    assert [row.folded for row in night.rows if row.folded] == ["00:00 to 09:00", "18:00 to 21:00"]
    assert [row.folded for row in plain.rows if row.folded] == []
    assert (len(plain.rows), {row.minutes for row in plain.rows}) == (24, {60})


def test_fold_on_the_day_of_a_clock_change_names_both_offsets():
    day = date(2026, 10, 25)
    sheet = day_sheet(day, [line(opened=[(at(10, day), at(20, day))], day=day)], BEFORE)

    assert [row.folded for row in sheet.rows if row.folded][0] == "00:00 BST to 09:00 GMT"


def test_low_free_time_joins_the_free_time_that_follows():
    sheet = day_sheet(DAY, [line(entry(10, 11.75), opened=[(at(10), at(13))])], BEFORE)

    frees = [(row.time, box.rows) for row in sheet.rows for box in row.boxes if box.free]
    assert frees == [("11:45", 2)]
    assert [box.free.typed for row in sheet.rows for box in row.boxes if box.free] == [
        "2026-06-01T11:45"
    ]


def test_now_lies_within_its_row():
    now = at(11) + timedelta(minutes=23, seconds=40)
    sheet = day_sheet(DAY, [line(entry(10, 14))], now)

    assert [(row.time, row.now) for row in sheet.rows if row.now is not None] == [("11:00", 23)]
    assert [box.shown.runs_now for row in sheet.rows for box in row.boxes if box.shown] == [True]


def test_now_of_another_day_is_not_on_the_sheet():
    assert not any(row.now is not None for row in day_sheet(DAY, [line()], BEFORE).rows)


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


def week_boxes(*lines, now=BEFORE, day=DAY, **more):
    """The boxes of one day: what each is, its columns and its rows."""
    sheet = week_sheet([day], lines, now, **more)
    return [
        (
            box.shown.entry.title if box.shown else "free" if box.free else box.what,
            box.columns,
            box.rows,
        )
        for row in sheet.days[0].rows
        for box in row.boxes
    ]


def test_week_lays_what_is_on_between_what_is_free_on_one_axis():
    """Open 8 to 18, booked 10 to 14 after an hour of load-in; a quarter of an hour is a column."""
    found = week_boxes(line(entry(10, 14, before=1), opened=[(at(8), at(18))]))

    assert found == [
        ("folded", 2, 1),
        ("free", 4, 1),
        ("Overdubs", 4, 1),
        ("Overdubs", 16, 1),
        ("free", 16, 1),
        ("folded", 2, 1),
    ]


def test_every_row_of_the_week_has_all_columns():
    holds = [entry(10 + n, 14 + 2 * n, f"Hold {n}", look="first-hold") for n in range(3)]
    sheet = week_sheet(
        [DAY, DAY + timedelta(days=1)],
        [line(*holds, entry(9.1, 9.2, "Brief"), opened=[(at(8), at(19))]), line()],
        BEFORE,
    )

    for day in sheet.days:
        covered: dict[int, int] = {}
        for place, row in enumerate(day.rows):
            for box in row.boxes:
                for below in range(box.rows):
                    covered[place + below] = covered.get(place + below, 0) + box.columns
        assert set(covered.values()) == {sheet.columns_and_one - 1}
        assert sum(row.line_rows for row in day.rows) == len(day.rows) == day.rows[0].day_rows


def test_week_does_not_take_an_enquiry_for_taken_time():
    """The enquiry stands over time that stays free before and after it."""
    found = week_boxes(line(entry(10, 14, look="enquiry", order=LAST), opened=[(at(8), at(18))]))

    assert [what for what, _, _ in found] == ["folded", "free", "Overdubs", "free", "folded"]


def test_week_says_when_a_line_is_closed_all_day():
    assert week_boxes(line(opened=[])) == [("folded", 2, 1)]
    assert week_boxes(line(opened=[]), unfolded=True) == [("closed", 96, 1)]


def test_midnight_is_of_the_day_that_begins():
    days = [DAY - timedelta(days=1), DAY]

    assert [day.is_today for day in week_sheet(days, [], at(0)).days] == [False, True]


def test_week_offers_only_what_is_left_of_today():
    sheet = week_sheet([DAY], [line(opened=[(at(8), at(22))])], at(20) + timedelta(minutes=5))

    [free] = [box for row in sheet.days[0].rows for box in row.boxes if box.free]
    assert free.free.bookable_from == at(20.25)
    assert free.now == round((12 * 4) / (14 * 4) * 60)


def test_each_day_of_many_lines_names_those_that_have_something_on():
    lines = [line(entry(10, 14)), *(line() for _ in range(7))]

    [day] = week_sheet([DAY], lines, BEFORE).days

    assert (len(day.rows), day.others) == (1, 7)


@pytest.mark.parametrize(("day", "now"), [(date(2026, 3, 29), "02"), (date(2026, 10, 25), "01")])
def test_week_of_a_clock_change_goes_by_the_clock(day, now):
    """What lasts over the change is drawn from the clock to the clock, 00:00 to 03:00."""
    hours = {date(2026, 3, 29): 2, date(2026, 10, 25): 4}[day]
    night = Entry(
        key=("session", 1),
        title="Night",
        starts_at=at(0, day),
        ends_at=at(hours, day),
        parts=(Part("work", at(0, day), at(hours, day)),),
        look="confirmed",
    )

    assert week_boxes(line(night, day=day), day=day)[0] == ("Night", 12, 1)


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


def test_night_of_what_is_open_around_the_clock_is_folded_unless_something_happens_then():
    quiet = day_sheet(DAY, [line()], BEFORE)
    busy = day_sheet(DAY, [line(entry(2, 3))], BEFORE)

    assert [row.folded for row in quiet.rows][:2] == ["00:00 to 07:00", ""]
    assert len(quiet.rows) == len(full_hours(DAY)) - 6
    assert [row.folded or row.time for row in busy.rows][:3] == [
        "00:00 to 02:00",
        "02:00",
        "03:00 to 07:00",
    ]
