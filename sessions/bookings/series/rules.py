"""When a session repeats: a part of the recurrence rules of RFC 5545, section 3.3.10.

FREQ of days, weeks or months; INTERVAL; COUNT or UNTIL; BYDAY; WKST. All of it on the studio's clock.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, time
from itertools import islice

from dateutil import rrule
from dateutil.relativedelta import relativedelta
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from sessions.bookings.models import Series
from sessions.periods import instant_of
from sessions.rooms.models import Weekday

MOST = 60
LONGEST = relativedelta(years=2)
LONGEST_TEXT = Series._meta.get_field("rule").max_length

FREQUENCIES = {"DAILY": "day", "WEEKLY": "week", "MONTHLY": "month"}
WEEKDAYS = {day.name[:2]: day.label for day in Weekday}
PLACES = {1: "first", 2: "second", 3: "third", 4: "fourth", 5: "fifth", -1: "last"}
NO_SECOND = "There is no second session by then."
EXAMPLE = "FREQ=WEEKLY;INTERVAL=2;COUNT=8;BYDAY=TU,TH"


class RuleRefused(ValidationError):
    """A rule that cannot be; `part` names the part of it that is to blame."""

    def __init__(self, part: str, sentence: str):
        self.part = part
        super().__init__(sentence)


@dataclass(frozen=True)
class Day:
    """A weekday; within a month its place, counted from the end where negative: 2TU, -1FR."""

    weekday: str
    place: int = 0

    def __str__(self) -> str:
        return f"{self.place or ''}{self.weekday}"

    @property
    def in_words(self) -> str:
        name = WEEKDAYS[self.weekday]
        if not self.place:
            return name
        if self.place in PLACES:
            return f"the {PLACES[self.place]} {name}"
        return f"the {PLACES[-self.place]} {name} from the end"


@dataclass(frozen=True)
class Rule:
    """One rule. Reads and writes itself as an RFC 5545 RRULE value."""

    frequency: str
    interval: int = 1
    count: int | None = None
    until: datetime | None = None
    days: tuple[Day, ...] = ()
    week_start: str = "MO"

    def __post_init__(self):
        """Raises RuleRefused for parts that do not go together."""
        if bool(self.count) == bool(self.until):
            raise RuleRefused(
                "COUNT", "Enter either the number of sessions or the last day, not both."
            )
        if self.frequency != "MONTHLY" and any(day.place for day in self.days):
            raise RuleRefused("BYDAY", "A numbered weekday such as 2TU needs FREQ=MONTHLY.")
        if len(str(self)) > LONGEST_TEXT:
            raise RuleRefused("BYDAY", "The rule is too long: leave some days out.")

    def __str__(self) -> str:
        parts = {
            "FREQ": self.frequency,
            "INTERVAL": self.interval if self.interval > 1 else "",
            "COUNT": self.count,
            "UNTIL": self.until and self.until.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ"),
            "BYDAY": ",".join(map(str, self.days)),
            "WKST": self.week_start if self.week_start != "MO" else "",
        }
        return ";".join(f"{name}={value}" for name, value in parts.items() if value)

    @classmethod
    def parse(cls, text: str) -> "Rule":
        """Raises RuleRefused, saying what to write, for anything that is not such a rule."""
        facts = {}
        for part, value in _parts(text).items():
            name, read = PARTS[part]
            facts[name] = read(value)
        return cls(**facts)

    @property
    def in_words(self) -> str:
        """ "Every 2 weeks on Tuesday and Thursday, 8 times"."""
        unit = FREQUENCIES[self.frequency]
        every = f"Every {unit}" if self.interval == 1 else f"Every {self.interval} {unit}s"
        names = [day.in_words for day in self.days]
        on = (
            f" on {' and '.join(filter(None, [', '.join(names[:-1]), names[-1]]))}" if names else ""
        )
        if self.count:
            return f"{every}{on}, {self.count} times"
        return f"{every}{on}, until {date_format(timezone.localtime(self.until))}"

    def starts(self, first: datetime) -> list[datetime]:
        """Local starts, naive, the first of them `first`: that is the session that is repeated.

        Raises RuleRefused for a rule that leaves `first` out (RFC 5545, 3.8.5.3, leaves undefined
        what such a rule would mean), that repeats nothing, or that goes on for too long.
        """
        end = first + LONGEST
        until = timezone.make_naive(self.until) if self.until else end
        if until > end:
            raise RuleRefused("UNTIL", f"A series is two years long at most: until {_day(end)}.")
        if until < first:
            raise RuleRefused("UNTIL", NO_SECOND)
        found = self._starts(first, until, (self.count or MOST) + 1)
        if found[:1] != [first]:
            raise RuleRefused(
                "BYDAY", f"The session itself is on {_day(first)}: the rule must include it."
            )
        if not self.count and len(found) > MOST:
            raise RuleRefused(
                "UNTIL", f"That is more than {MOST} sessions: end the series earlier."
            )
        if self.count and len(found) < self.count:
            raise RuleRefused(
                "COUNT", f"The last would be after {_day(end)}: a series is two years long at most."
            )
        found = found[: self.count]
        if len(found) < 2:
            raise RuleRefused("UNTIL", NO_SECOND)
        return found

    def _starts(self, first: datetime, until: datetime, most: int) -> list[datetime]:
        """A weekday with a place and one without may both be named; dateutil then takes only days
        that are both, where the RFC takes all that are either, so each kind is a rule of its own."""
        with_place = [_weekday(day) for day in self.days if day.place]
        without = [_weekday(day) for day in self.days if not day.place]
        rules = rrule.rruleset()
        for days in filter(None, (with_place, without)) if self.days else [None]:
            rules.rrule(
                rrule.rrule(
                    getattr(rrule, self.frequency),
                    dtstart=first,
                    until=until,
                    interval=self.interval,
                    byweekday=days,
                    wkst=getattr(rrule, self.week_start),
                )
            )
        return list(islice(rules, most))


def _weekday(day: Day):
    weekday = getattr(rrule, day.weekday)
    return weekday(day.place) if day.place else weekday


def _day(moment: datetime) -> str:
    return date_format(moment)


# Reading


def _parts(text: str) -> dict[str, str]:
    """The parts of a rule by name, each once."""
    parts = {}
    for part in text.strip().upper().removeprefix("RRULE:").split(";"):
        name, equals, value = part.partition("=")
        if not equals:
            raise RuleRefused(name, f"“{part}” is not part of a rule. Write it like {EXAMPLE}.")
        if name not in PARTS:
            raise RuleRefused(
                name, f"“{name}” is not supported. A rule is made of {', '.join(PARTS)}."
            )
        if name in parts:
            raise RuleRefused(name, f"{name} appears twice in this rule.")
        parts[name] = value
    if "FREQ" not in parts:
        raise RuleRefused("FREQ", f"FREQ is missing. Write it like {EXAMPLE}.")
    return parts


def _one_of(name: str, known: dict) -> Callable[[str], str]:
    def read(value: str) -> str:
        if value not in known:
            raise RuleRefused(name, f"{name} is one of {', '.join(known)}, not “{value}”.")
        return value

    return read


def _number(name: str, least: int, most: int) -> Callable[[str], int]:
    def read(value: str) -> int:
        if not re.fullmatch("[0-9]{1,4}", value) or not least <= int(value) <= most:
            raise RuleRefused(name, f"{name} is a number from {least} to {most}, not “{value}”.")
        return int(value)

    return read


def _read_until(value: str) -> datetime:
    """A date holds until its end on the studio's clock; a date and time is in UTC."""
    try:
        if re.fullmatch(r"\d{8}T\d{6}Z", value, re.ASCII):
            return datetime.strptime(value, "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
        if re.fullmatch(r"\d{8}", value, re.ASCII):
            return end_of(datetime.strptime(value, "%Y%m%d"))
    except (ValueError, OverflowError):
        pass
    raise RuleRefused(
        "UNTIL", "UNTIL is a day such as 20261224 or a time in UTC: 20261224T000000Z."
    )


def end_of(day) -> datetime:
    """The last second of a day on the studio's clock."""
    return instant_of(datetime.combine(day, time(23, 59, 59)))


def _read_days(value: str) -> tuple[Day, ...]:
    found = [re.fullmatch("([+-]?[1-5])?(MO|TU|WE|TH|FR|SA|SU)", each) for each in value.split(",")]
    if not all(found):
        raise RuleRefused("BYDAY", f"BYDAY is days such as TU,TH or 2TU or -1FR, not “{value}”.")
    return tuple(dict.fromkeys(Day(each[2], int(each[1] or 0)) for each in found))


# A part's name in the RFC: its name in a Rule, and what reads it.
PARTS = {
    "FREQ": ("frequency", _one_of("FREQ", FREQUENCIES)),
    "INTERVAL": ("interval", _number("INTERVAL", 1, 99)),
    "COUNT": ("count", _number("COUNT", 2, MOST)),
    "UNTIL": ("until", _read_until),
    "BYDAY": ("days", _read_days),
    "WKST": ("week_start", _one_of("WKST", WEEKDAYS)),
}
