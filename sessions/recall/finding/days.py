"""Months, seasons and days as people remember them: “nov 2026”, “last spring”, “before christmas”.

Seasons are those of the meteorologists in the northern half of the world, of three whole months
each (World Meteorological Organization, Guide to Climatological Practices, WMO-No. 100).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rapidfuzz.distance import OSA

MONTHS = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
SEASONS = {
    "spring": (3, 4, 5),
    "summer": (6, 7, 8),
    "autumn": (9, 10, 11),
    "fall": (9, 10, 11),
    "winter": (12, 1, 2),
}
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
UNITS = ("week", "month", "year")
ONE_DAY = timedelta(days=1)
SURE = 5  # letters, from which on one of them may be wrong


@dataclass(frozen=True)
class Days:
    """Those of a period, or of a month, a weekday or a day of any year; all that is said must hold."""

    label: str
    first: date | None = None
    last: date | None = None
    months: tuple[int, ...] = ()
    weekday: int | None = None
    days: tuple[int, int] | None = None  # of the month, from and to

    def hold(self, day: date) -> bool:
        return (
            (self.first is None or self.first <= day)
            and (self.last is None or day <= self.last)
            and (not self.months or day.month in self.months)
            and (self.weekday is None or day.weekday() == self.weekday)
            and (self.days is None or self.days[0] <= day.day <= self.days[1])
        )


def read_days(words: Sequence[str], today: date) -> tuple[Days, int] | None:
    """What the folded words begin with, if that is a time, and how many of them say so."""
    for reads in (_iso, _relative, _christmas, _day_and_month, _month_or_season, _year, _weekday):
        if found := reads(words, today):
            return found
    return None


def _named(word: str, names: Iterable[str]) -> str | None:
    """The name that it is, if need be with one letter wrong."""
    found = (name for name in names if word == name)
    nearly = (name for name in names if len(word) >= SURE and OSA.distance(word, name) == 1)
    return next(found, None) or next(nearly, None)


def _month_named(word: str) -> int | None:
    """By its name, or three letters or more that it begins with."""
    begun = (name for name in MONTHS if len(word) >= 3 and name.startswith(word))
    name = next(begun, None) or _named(word, MONTHS)
    return MONTHS.index(name) + 1 if name else None


def _year_named(word: str) -> int | None:
    is_year = len(word) == 4 and word.isdecimal() and 1900 <= int(word) < 2100
    return int(word) if is_year else None


def _span(label: str, first: date, last: date) -> Days:
    return Days(label, first, last)


def _month_of(year: int, month: int) -> Days:
    first = date(year, month, 1)
    last = (first + timedelta(days=31)).replace(day=1) - ONE_DAY
    return _span(f"{MONTHS[month - 1].title()} {year}", first, last)


def _season_of(year: int, season: str) -> Days:
    """Winter is named after the year in which it ends, and begins in December of the one before."""
    months = SEASONS[season]
    begins = _month_of(year - (months[0] == 12), months[0])
    return _span(f"{season} {year}", begins.first, _month_of(year, months[-1]).last)


def _iso(words, today):
    try:
        day = date.fromisoformat(words[0])
    except ValueError:
        return None
    return _span(_in_words(day), day, day), 1


def _in_words(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1].title()} {day.year}"


def _relative(words, today):
    """today; last week, this month, next year; last november, last spring, last friday."""
    near = {"today": 0, "yesterday": -1, "tomorrow": 1}
    if words[0] in near:
        day = today + near[words[0]] * ONE_DAY
        return _span(words[0], day, day), 1
    if words[0] not in ("last", "this", "next") or len(words) < 2:
        return None
    which, what = words[0], words[1]
    step = {"last": -1, "this": 0, "next": 1}[which]
    if what in UNITS:
        return _span(f"{which} {what}", *_unit(what, step, today)), 2
    if season := _named(what, SEASONS):
        seasons = [_season_of(today.year + n, season) for n in range(-2, 3)]
        return _chosen(seasons, step, today, f"{which} {season}"), 2
    if weekday := _named(what, WEEKDAYS):
        days = [today + n * ONE_DAY for n in range(-7, 8)]
        on_it = [_span("", day, day) for day in days if day.weekday() == WEEKDAYS.index(weekday)]
        return _chosen(on_it, step, today, f"{which} {weekday.title()}"), 2
    if month := _month_named(what):
        months = [_month_of(today.year + n, month) for n in range(-2, 3)]
        return _chosen(months, step, today, f"{which} {MONTHS[month - 1].title()}"), 2
    return None


def _unit(what: str, step: int, today: date) -> tuple[date, date]:
    if what == "week":
        monday = today + (7 * step - today.weekday()) * ONE_DAY
        return monday, monday + 6 * ONE_DAY
    if what == "year":
        return date(today.year + step, 1, 1), date(today.year + step, 12, 31)
    month = today.month - 1 + step
    whole = _month_of(today.year + month // 12, month % 12 + 1)
    return whole.first, whole.last


def _chosen(spans: list[Days], step: int, today: date, label: str) -> Days:
    """Of spans in order: the latest that is over, the first to come, or this year's."""
    if step < 0:
        chosen = [span for span in spans if span.last < today][-1]
    elif step > 0:
        chosen = next(span for span in spans if span.first > today)
    else:
        chosen = next(span for span in spans if span.last.year >= today.year)
    first, last = chosen.first, chosen.last
    said = _in_words(first) if first == last else f"{_month_said(first)} to {_month_said(last)}"
    if (first.month, first.year) == (last.month, last.year) and first != last:
        said = _month_said(first)
    return _span(f"{label} ({said})", first, last)


def _month_said(day: date) -> str:
    return f"{MONTHS[day.month - 1].title()} {day.year}"


def _christmas(words, today):
    if "christmas" not in words[:2] or words[0] not in ("before", "christmas"):
        return None
    if words[0] == "before":
        return Days("before Christmas (1 to 24 December)", months=(12,), days=(1, 24)), 2
    return Days("Christmas (20 to 31 December)", months=(12,), days=(20, 31)), 1


def _day_and_month(words, today):
    """20 nov 2026, nov 20, 3rd of march."""
    said = [word for word in words[:4] if word != "of"]
    skipped = words[1:2] == ["of"]
    if len(said) < 2:
        return None
    day, month = _day_named(said[0]), _month_named(said[1])
    if not (day and month):
        day, month = _day_named(said[1]), _month_named(said[0])
    if not (day and month):
        return None
    year = _year_named(said[2]) if len(said) > 2 else None
    used = 2 + skipped + bool(year)
    if year is None:
        return Days(f"{day} {MONTHS[month - 1].title()}", months=(month,), days=(day, day)), used
    try:
        exact = date(year, month, day)
    except ValueError:
        return None
    return _span(_in_words(exact), exact, exact), used


def _day_named(word: str) -> int | None:
    bare = word[:-2] if word[-2:] in ("st", "nd", "rd", "th") else word
    return int(bare) if bare.isdecimal() and len(bare) < 3 and 1 <= int(bare) <= 31 else None


def _month_or_season(words, today):
    year = _year_named(words[1]) if len(words) > 1 else None
    if season := _named(words[0], SEASONS):
        if year:
            return _season_of(year, season), 2
        return Days(f"any {season}", months=SEASONS[season]), 1
    month = _month_named(words[0])
    if not month:
        return None
    if year:
        return _month_of(year, month), 2
    return Days(f"any {MONTHS[month - 1].title()}", months=(month,)), 1


def _year(words, today):
    year = _year_named(words[0])
    return (_span(str(year), date(year, 1, 1), date(year, 12, 31)), 1) if year else None


def _weekday(words, today):
    weekday = _named(words[0], WEEKDAYS)
    if not weekday:
        return None
    return Days(f"any {weekday.title()}", weekday=WEEKDAYS.index(weekday)), 1
