"""Facts in the words of a letter: its list of facts, and what changed."""

from collections.abc import Callable
from datetime import datetime

from django.utils import timezone

from sessions.bookings.models import Status, standing_in_words
from sessions.bookings.telling.facts import HELD, Facts, ReadsAs
from sessions.bookings.telling.tidings import Tidings
from sessions.periods import comes_twice, moment_in_words, period_in_words


def moment(written: str) -> datetime:
    return datetime.fromisoformat(written)


def deadline_in_words(written: str) -> str:
    """With the name of the offset, which not every reader's clock shares."""
    at = moment(written)
    words = moment_in_words(at)
    return words if comes_twice(at) else f"{words} ({timezone.localtime(at).tzname()})"


def when_in_words(starts: str, ends: str) -> str:
    words = period_in_words(moment(starts), moment(ends))
    name = timezone.localtime(moment(starts)).tzname()
    return words if words.endswith(name) or f" {name} to " in words else f"{words} ({name})"


def day_in_words(facts: Facts) -> str:
    """For a subject: "Mon 1 Jun 2026, 11:00"."""
    return moment_in_words(moment(facts["starts"]))


def standing_of(facts: Facts) -> str:
    if facts["standing"] != HELD:
        return "confirmed"
    if "rank" not in facts:
        return "held, not confirmed yet"
    return standing_in_words(Status.HELD, facts["rank"])


def _around(facts: Facts) -> str:
    """Where it differs from the session's own time."""
    own = facts.get("from"), facts.get("until")
    if None in own or own == (facts["starts"], facts["ends"]):
        return ""
    return when_in_words(*own)


def _call(facts: Facts) -> str:
    return moment_in_words(moment(facts["call"])) if "call" in facts else ""


def _hours(facts: Facts) -> str:
    return "\n".join(when_in_words(*hours) for hours in facts.get("hours", ()))


def _listed(name: str) -> Callable[[Facts], str]:
    return lambda facts: ", ".join(facts.get(name, ()))


def _plain(name: str) -> Callable[[Facts], str]:
    return lambda facts: facts.get(name, "")


SHOWN: dict[str, Callable[[Facts], str]] = {
    "Session": _plain("title"),
    "Project": _plain("project"),
    "Client": _plain("client"),
    "Status": standing_of,
    "When": lambda facts: when_in_words(facts["starts"], facts["ends"]),
    "around": _around,
    "Your call": _call,
    "Planned hours": _hours,
    "Room": _listed("rooms"),
    "Your part": _listed("part"),
    "Reserved": _listed("people"),
    "Credited": _listed("credited"),
    "Gear": _listed("gear"),
}
WHICH = ("Session", "Project", "Client", "When", "Room")
AROUND = {ReadsAs.CLIENT: "Load-in to teardown", ReadsAs.PERSON: "You are booked"}
PEOPLE = {ReadsAs.CLIENT: "With", ReadsAs.PERSON: "People", ReadsAs.MANAGER: "People"}


def facts_in_words(tidings: Tidings) -> tuple[tuple[str, str], ...]:
    """Label and value of all that is known of it; of what is over for the reader, which it was."""
    facts = tidings.facts
    names = SHOWN if tidings.after else WHICH
    return tuple((_label(name, facts), value) for name in names if (value := SHOWN[name](facts)))


def changes_of(tidings: Tidings) -> tuple[tuple[str, str, str], ...]:
    """Label, before, after of what differs; nothing of what begins or is over for the reader."""
    if not tidings.before or not tidings.after:
        return ()
    return tuple(
        (_label(name, tidings.after), was, now)
        for name, shown in SHOWN.items()
        if (was := shown(tidings.before)) != (now := shown(tidings.after))
    )


def _label(name: str, facts: Facts) -> str:
    reads_as = facts["reads_as"]
    return {"around": AROUND, "Reserved": PEOPLE}.get(name, {}).get(reads_as, name)
