"""The sheet of a month: each session and block of a day once."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sessions.calendar.schedule.days import period_of
from sessions.calendar.schedule.diary import Line
from sessions.desk.schedule.shown import Shown, includes, shown_on

ON_A_MONTH_DAY = 4
NAMED = 2  # of what a session takes
HIGH = 8  # things below each other, of all weeks, that fill a sheet of paper; more are set smaller


@dataclass(frozen=True)
class MonthDay:
    """One day of the month sheet: each session and block once, with all that it takes."""

    day: date
    is_today: bool
    within: bool
    counts: list[str]
    things: list[tuple[Shown, list[str]]]
    further: int


def month_day(day: date, month: date, lines: Sequence[Line], now: datetime) -> MonthDay:
    period = period_of(day)
    found: dict[tuple, tuple[Shown, list[str]]] = {}
    for line in lines:
        for entry in line.entries_within(*period):
            shown, takes = found.setdefault(entry.key, (shown_on(day, entry, now), []))
            takes.append(str(line.resource))
    things = sorted(found.values(), key=lambda each: each[0].entry.starts_at)
    return MonthDay(
        day,
        includes(period, now),
        day.month == month.month,
        _counts(things),
        [(shown, _named(takes)) for shown, takes in things[:ON_A_MONTH_DAY]],
        max(0, len(things) - ON_A_MONTH_DAY),
    )


def on_paper(weeks: Sequence[Sequence[MonthDay]]) -> str:
    """How large what is on may be set so that the month fits one sheet of paper."""
    fullest = sum(max(len(each.things) for each in week) for week in weeks)
    return "high" if fullest <= HIGH else "low"


def _named(takes: list[str]) -> list[str]:
    """The first of them, and how many more there are, where that is shorter."""
    more = len(takes) - NAMED
    return takes if more < 2 else [*takes[:NAMED], f"{more} more"]


def _counts(things: list[tuple[Shown, list[str]]]) -> list[str]:
    """ "2 sessions, 1 hold, 1 block": what is on, in words."""
    looks = [shown.entry.look for shown, _ in things]
    counted = [
        ("hold", sum(look.endswith("-hold") for look in looks)),
        ("block", looks.count("block")),
        ("enquiry", looks.count("enquiry")),
        ("taken", looks.count("taken")),
    ]
    sessions = len(looks) - sum(count for _, count in counted)
    return [_counted(word, count) for word, count in [("session", sessions), *counted] if count]


def _counted(word: str, count: int) -> str:
    plurals = {"enquiry": "enquiries", "taken": "taken"}
    return f"{count} {word if count == 1 else plurals.get(word, f'{word}s')}"
