"""What somebody is to be told of a session: from what they were told last to how it stands now."""

from dataclasses import dataclass
from datetime import datetime

from sessions.bookings.models import ChallengeOutcome, RecordingSession, Status
from sessions.bookings.telling.facts import CONFIRMED, DECIDE, DECIDES, HELD, Facts, ReadsAs

# What is not in a calendar: a letter that changes nothing else brings no calendar file.
NOT_IN_A_CALENDAR = {"rank", "asked", "asks", "gear", "credited", "part", "people", "hours", "call"}
NOT_IN_A_CALENDAR |= {DECIDES}
REMINDER, FOLLOW_UP = "reminder", "follow_up"
WON = {str(ChallengeOutcome.RELEASED), str(ChallengeOutcome.LAPSED)}


@dataclass(frozen=True)
class Tidings:
    """`before` is what the reader knows, `after` what they are told; None: nothing of theirs.

    `reminds`: the kind of what is told though nothing may have changed.
    """

    session: RecordingSession
    before: Facts | None
    after: Facts | None
    reminds: str = ""

    @property
    def reads_as(self) -> ReadsAs:
        return ReadsAs((self.after or self.before)["reads_as"])

    @property
    def decides_as(self) -> ReadsAs:
        """As what they answer for a hold: who is reserved may be its client or a manager, too."""
        return ReadsAs(self.facts.get(DECIDES, self.reads_as))

    @property
    def facts(self) -> Facts:
        """How it is now, or how it was before it was over for the reader."""
        return self.after or self.before

    @property
    def method(self) -> str:
        """What a calendar is asked to do (RFC 5546, section 1.4); empty for what is in none."""
        if self.reads_as == ReadsAs.MANAGER or not self.is_in_a_calendar:
            return ""
        return "REQUEST" if self.after else "CANCEL"

    @property
    def is_in_a_calendar(self) -> bool:
        return bool({"standing", "starts"} & self.changed) or bool(self.changed - NOT_IN_A_CALENDAR)

    @property
    def changed(self) -> set[str]:
        """The names of the facts that differ."""
        before, after = self.before or {}, self.after or {}
        return {
            name for name in before.keys() | after.keys() if before.get(name) != after.get(name)
        }

    @property
    def kind(self) -> str:
        """The one word for it, of the change that matters most to the reader."""
        if self.reminds:
            return self.reminds
        if self.after is None:
            return self._why_over()
        if self.before is None or self.before["standing"] != self.after["standing"]:
            return _booked(self.before, self.after)
        if self.before["reads_as"] != self.after["reads_as"]:  # a client who is booked, too
            return _booked(None, self.after)
        return self._of_challenge() or self._of_facts()

    def _why_over(self) -> str:
        if self.session.takes_time:
            return "removed"
        if self.session.lapsed_at and self.decides_as in DECIDE:
            return "lapsed"
        return "released" if self.before["standing"] == HELD else "cancelled"

    def _of_challenge(self) -> str:
        asked, was_asked = self.after.get("asked"), self.before.get("asked")
        asks, asked_for = self.after.get("asks"), self.before.get("asks")
        if asked != was_asked:
            return "challenged" if asked else "challenge_withdrawn"
        if asks == asked_for or not asks:
            return ""
        if asks["outcome"] in WON:
            return "challenge_won"
        return {
            str(ChallengeOutcome.OPEN): "challenge_made",
            str(ChallengeOutcome.CONFIRMED): "challenge_lost",
        }.get(asks["outcome"], "challenge_taken_back")

    def _of_facts(self) -> str:
        if "starts" in self.changed:
            return "moved"
        if self.after.get("rank", 1) < self.before.get("rank", 1):
            return "moved_up"
        return "changed"


def _booked(before: Facts | None, after: Facts) -> str:
    if after["standing"] == CONFIRMED:
        return "confirmed" if before else "booked"
    return "back_to_hold" if before else "held"


def tidings_for(
    session: RecordingSession, before: Facts | None, after: Facts | None, *, now: datetime
) -> list[Tidings]:
    """What there is to tell one reader: nothing, where they know it already or it is over, and two
    things where a session stops being theirs as one thing and becomes so as another."""
    if _told(before) == _told(after) or _is_over(session, before, after, now):
        return []
    if before and after and _is_in_calendars(before) != _is_in_calendars(after):
        parted = [Tidings(session, before, None), Tidings(session, None, after)]
        return [each for each in parted if each.reads_as != ReadsAs.MANAGER]
    return [Tidings(session, before, after)]


def _told(facts: Facts | None) -> Facts | None:
    """Without what they are besides, of which nobody is written a letter."""
    return facts and {name: fact for name, fact in facts.items() if name != DECIDES}


def _is_in_calendars(facts: Facts) -> bool:
    return facts["reads_as"] != ReadsAs.MANAGER


def _is_over(
    session: RecordingSession, before: Facts | None, after: Facts | None, now: datetime
) -> bool:
    """Whether what they know and how it is are both history; who is credited while it goes on is
    there already."""
    if (
        session.status == Status.UNDER_WAY
        and before is None
        and after["reads_as"] == ReadsAs.PLAYER
    ):
        return True
    known_end = datetime.fromisoformat(before["ends"]) if before else None
    if session.status == Status.WRAPPED or (known_end is None and session.ends_at <= now):
        return True
    return session.ends_at <= now and known_end <= now
