"""What a letter says first, by what happened and by who reads it.

A client is asked for a decision, never to press a button; who comes to work is asked for nothing; only
managers are told to confirm or release, since only they can.
"""

from collections.abc import Sequence

from sessions.bookings.telling.facts import HELD, ReadsAs
from sessions.bookings.telling.shown import deadline_in_words, standing_of
from sessions.bookings.telling.tidings import Tidings

SUBJECTS = {
    "booked": "Booked",
    "held": "Held",
    "confirmed": "Confirmed",
    "back_to_hold": "Back to a hold",
    "moved": "Moved",
    "changed": "Changed",
    "moved_up": "Moved up to {standing}",
    "challenged": "Please decide by {asked}",
    "challenge_withdrawn": "No answer is needed any more",
    "challenge_made": "Your challenge is waiting for an answer",
    "challenge_lost": "The hold ahead of yours was confirmed",
    "challenge_won": "You have moved up",
    "challenge_won_first": "The time is yours, confirm at once",
    "challenge_taken_back": "Your challenge is withdrawn",
    "released": "Hold released",
    "lapsed": "Hold lapsed",
    "cancelled": "Session cancelled",
    "removed": "Not booked any more",
    "reminder": "Reminder",
    "follow_up": "Still open: please decide by {asked}",
}
FOR_MANAGERS = {
    "challenged": "Confirm or release by {asked}",
    "follow_up": "Still open: confirm or release by {asked}",
}

CLIENT = {
    "booked": "Your session is confirmed: its time is yours.",
    "held": "We hold this time for you. It is not confirmed yet: please tell us when you want it "
    "confirmed, or when you do not need it any more.",
    "held_behind": "We hold this time for you, behind somebody else’s hold. It cannot be confirmed "
    "yet; we write to you when you move up.",
    "confirmed": "Your session is confirmed: its time is yours.",
    "back_to_hold": "Your session is a hold again, not confirmed. Please tell us when you want it "
    "confirmed.",
    "moved": "Your session has been moved.",
    "changed": "Something about your session has changed.",
    "moved_up": "A session ahead of yours gave up its time, so your hold has moved up.",
    "challenged": "Somebody with a hold behind yours wants the time. Please tell us by {asked} "
    "whether you want your session confirmed or the hold released.\n"
    "A hold that is not confirmed by then lapses: its time goes to the next hold.",
    "challenge_withdrawn": "The challenge to your hold has been withdrawn. The deadline no longer "
    "applies, and the hold stays as it is.",
    "challenge_made": "The hold ahead of yours has to be confirmed or released by {asks}.\n"
    "If it is released or lapses, you move up and have to confirm at once: please tell us then. If "
    "it is confirmed, you keep your place.",
    "challenge_lost": "The hold that you challenged has been confirmed. You keep your place and move "
    "up if that session is cancelled.",
    "challenge_won_first": "The hold that you challenged has given up the time.\nYours is the first "
    "hold now. Whoever wins a challenge has to confirm at once: please tell us.",
    "challenge_won": "The hold that you challenged has given up the time.\nOther holds are still "
    "ahead of yours, so the session cannot be confirmed yet.",
    "challenge_taken_back": "The hold ahead of yours no longer has to answer. You keep your place, "
    "and move up if it is released.",
    "released": "The hold has been released. Nothing is held for you any more.",
    "lapsed": "The hold was challenged and not confirmed in time, so it has lapsed. Its time went to "
    "the next hold.\nIf you still want to come, tell us and we will look for another time.",
    "cancelled": "The session has been cancelled. Nothing is booked any more.",
    "removed": "This session is not booked for you any more.",
    "reminder": "This is to remind you of your session.",
    "follow_up": "We have not heard from you yet about your challenged hold. Please tell us by {asked} "
    "whether you want your session confirmed or the hold released.\n"
    "A hold that is not confirmed by then lapses: its time goes to the next hold.",
}
AT_WORK = {
    "booked": "You are booked for this session.",
    "held": "You are wanted for this session, whose time is held and not confirmed yet. You need do "
    "nothing: we write when it is confirmed or released.",
    "confirmed": "This session is confirmed. You are booked for it.",
    "back_to_hold": "This session is a hold again, not confirmed. Please keep the time free: we write "
    "when it is confirmed or released.",
    "moved": "A session that you are booked for has been moved.",
    "changed": "Something about a session that you are booked for has changed.",
    "released": "The hold has been released. You need not keep the time free any more.",
    "cancelled": "The session has been cancelled. You need not come.",
    "removed": "You are not booked for this session any more. You need not come.",
    "reminder": "This is to remind you of a session that you are booked for.",
}
HOUSE = {
    "booked": "Booked and confirmed.",
    "held": "Held.",
    "confirmed": "Confirmed.",
    "back_to_hold": "Back to a hold.",
    "moved": "Moved.",
    "changed": "Changed.",
    "moved_up": "A session ahead of it gave up its time, so this hold has moved up.",
    "challenged": "This hold was challenged. It has to be confirmed or released by {asked}, or it "
    "lapses.",
    "challenge_withdrawn": "The challenge to this hold has been withdrawn: it stays as it is.",
    "challenge_made": "This hold challenges the one ahead of it, which has to be confirmed or "
    "released by {asks}.",
    "challenge_lost": "The hold that it challenged was confirmed. It keeps its place.",
    "challenge_won_first": "The hold that it challenged gave up the time. This is the first hold now "
    "and has to be confirmed at once.",
    "challenge_won": "The hold that it challenged gave up the time. Other holds are still ahead of "
    "it.",
    "challenge_taken_back": "The hold ahead of it no longer has to answer.",
    "released": "The hold was released. Its time is free for others.",
    "lapsed": "The hold was challenged and not confirmed in time, so it has lapsed. Its time went to "
    "the next hold.",
    "cancelled": "Cancelled. Its time is free for others.",
    "follow_up": "This challenged hold has not been answered yet. It has to be confirmed or released "
    "by {asked}, or it lapses.",
}
# Where one letter tells the same of several.
CLIENT_OF_SEVERAL = {
    "booked": "Your sessions are confirmed: their time is yours.",
    "held": "We hold these times for you. They are not confirmed yet: please tell us when you want "
    "them confirmed, or when you do not need them any more.",
    "confirmed": "Your sessions are confirmed: their time is yours.",
    "moved": "Your sessions have been moved.",
    "changed": "Something about your sessions has changed.",
    "released": "These holds have been released. Nothing is held for you at these times any more.",
    "cancelled": "These sessions have been cancelled. Nothing is booked any more.",
}
AT_WORK_OF_SEVERAL = {
    "booked": "You are booked for these sessions.",
    "held": "You are wanted for these sessions, whose time is held and not confirmed yet. You need do "
    "nothing: we write when they are confirmed or released.",
    "confirmed": "These sessions are confirmed. You are booked for them.",
    "moved": "Sessions that you are booked for have been moved.",
    "changed": "Something about sessions that you are booked for has changed.",
    "released": "These holds have been released. You need not keep the time free any more.",
    "cancelled": "These sessions have been cancelled. You need not come.",
    "removed": "You are not booked for these sessions any more. You need not come.",
}
OF_SEVERAL = {
    ReadsAs.PERSON: AT_WORK_OF_SEVERAL,
    ReadsAs.PLAYER: AT_WORK_OF_SEVERAL,
    ReadsAs.CLIENT: CLIENT_OF_SEVERAL,
    ReadsAs.MANAGER: {},
}
SAYS = {
    ReadsAs.PERSON: AT_WORK,
    ReadsAs.PLAYER: AT_WORK,
    ReadsAs.CLIENT: CLIENT,
    ReadsAs.MANAGER: HOUSE,
}


def subject_word(tidings: Tidings) -> str:
    """ "Moved", "Please decide by Thu 21 May 2026, 10:00"."""
    kind = _wording_of(tidings)
    words = FOR_MANAGERS.get(kind) if tidings.decides_as == ReadsAs.MANAGER else None
    return (words or SUBJECTS.get(kind) or SUBJECTS[tidings.kind]).format(**_values(tidings))


def paragraphs(tidings: Tidings) -> list[str]:
    kind, said = _wording_of(tidings), SAYS[_spoken_to_as(tidings)]
    text = said.get(kind) or SAYS[tidings.decides_as].get(kind) or said[tidings.kind]
    return text.format(**_values(tidings)).split("\n")


def said_of_all(several: Sequence[Tidings]) -> str:
    """What is true of each of them in one sentence; empty where there is none."""
    kinds = {(_spoken_to_as(each), _wording_of(each)) for each in several}
    if len(kinds) > 1:
        return ""
    [(reads_as, kind)] = kinds
    return OF_SEVERAL[reads_as].get(kind, "")


def _spoken_to_as(tidings: Tidings) -> ReadsAs:
    """A client who works at their own session has to decide while it is a hold."""
    is_held = tidings.facts["standing"] == HELD
    return ReadsAs.CLIENT if is_held and tidings.decides_as == ReadsAs.CLIENT else tidings.reads_as


def _wording_of(tidings: Tidings) -> str:
    """The kind, told apart by the place that a hold has now."""
    rank = tidings.facts.get("rank", 1)
    if tidings.kind == "held" and rank > 1:
        return "held_behind"
    if tidings.kind == "challenge_won" and rank == 1:
        return "challenge_won_first"
    return tidings.kind


def _values(tidings: Tidings) -> dict[str, str]:
    facts = tidings.facts
    deadlines = {
        name: deadline_in_words(facts[name]["deadline"]) if facts.get(name) else ""
        for name in ("asked", "asks")
    }
    return deadlines | {"standing": standing_of(facts)}
