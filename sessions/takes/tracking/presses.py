"""What is pressed while takes are recorded: each press counts once, whenever and however often it is
sent, and the last can be taken back."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from gear.acting import action
from sessions.bookings.models import RecordingSession
from sessions.takes import actions
from sessions.takes.actions import TakeRefused
from sessions.takes.models import Mark, Take, TakePart, TakePress, What


@dataclass
class Press:
    """One press, as it was sent. `seen`: the versions of parts that its presser saw, by the key of the
    TakePart, and `version` that of the take; empty where the page could not know them yet."""

    number: UUID
    what: str
    pressed_at: datetime
    at: datetime
    is_late: bool = False
    take: Take | None = None
    seen: dict[int, int] = field(default_factory=dict)
    version: int | None = None
    facts: dict = field(default_factory=dict)


@dataclass
class Done:
    """What a press did: to which take, in words, and what an undo puts back."""

    take: Take
    said: str
    before: dict = field(default_factory=dict)
    also: tuple[str, ...] = ()


@action
def take_press(press: Press, *, session: RecordingSession, by) -> TakePress:
    """Do what was pressed, once. Raises TakeRefused, and EditedMeanwhile where somebody else changed
    the same meanwhile; then nothing was done, and the same number may be sent again."""
    if press.what not in (What.START, What.OVER, What.UNDO) and press.take is None:
        raise TakeRefused("The take that this belongs to is not there.")
    if press.take and press.take.session_id != session.pk:
        raise TakeRefused(f"{press.take} belongs to another session.")
    done = DOES[press.what](press, session, by)
    kept = TakePress(
        number=press.number,
        user=by,
        session=session,
        take=done.take,
        what=press.what,
        pressed_at=press.pressed_at,
        at=press.at,
        before=done.before,
        after=versions(done.take),
    )
    kept.answer = answer(kept, done)
    kept.save()
    return kept


def answer(press: TakePress, done: Done) -> dict:
    """What the page is told: plain values."""
    take = done.take
    return {
        "said": " ".join([done.said, *done.also]),
        "take": {
            "key": take.pk,
            "number": take.number,
            "rolling": take.is_rolling,
            "withdrawn": take.withdrawn,
            "seen": [f"{key}.{version}" for key, version in press.after["parts"].items()],
            "version": press.after["take"],
        },
    }


def versions(take: Take) -> dict:
    """Of the take and its parts."""
    parts = {str(each.pk): each.version for each in take.take_parts.all()}
    return {"take": take.version, "parts": parts}


# --- what each does -----------------------------------------------------------------------------


def _start(press: Press, session, by) -> Done:
    parts = press.facts.pop("parts")
    take = actions.log_take(
        *parts,
        session=session,
        started_by=by,
        rolling=press.what == What.START,
        at=press.at,
        came_late=press.is_late,
        **press.facts,
    )
    state = "rolling" if take.is_rolling else "logged"
    return Done(take, f"{take.song}: take {take.number} {state}.")


def _end(press: Press, session, by) -> Done:
    before = _state(press.take)
    actions.end_take(press.take, at=press.at)
    return Done(press.take, f"{press.take} ended.", before)


def _mark(press: Press, session, by) -> Done:
    take, mark = press.take, press.facts["mark"]
    before = _state(take, parts=True)
    earlier = actions.mark_take(take, seen=_seen(press, by), mark=mark, at=press.at)
    before["masters"] = {str(each.pk): each.version for each in earlier}
    also = tuple(f"{each} was the master until now: it is marked hold." for each in earlier)
    return Done(take, f"{take}: {Mark(mark).label.lower()}.", before, also)


def _circle(press: Press, session, by) -> Done:
    take, circled = press.take, press.facts["circled"]
    before = _state(take, parts=True)
    actions.circle_parts(take, seen=_seen(press, by), circled=circled)
    return Done(take, f"{take} {'circled: chosen' if circled else 'no longer circled'}.", before)


def _note(press: Press, session, by) -> Done:
    take, before = press.take, {"note": press.take.note}
    version = press.version or _last(take, by, "take") or 0
    actions.note_take(take, version=version, note=press.facts["note"])
    return Done(take, f"{take}: note saved.", before)


def _withdraw(press: Press, session, by) -> Done:
    before = _state(press.take)
    actions.withdraw_take(press.take)
    return Done(press.take, f"{press.take} withdrawn: its number stays used.", before)


def _restore(press: Press, session, by) -> Done:
    before = _state(press.take)
    actions.restore_take(press.take)
    return Done(press.take, f"{press.take} counts again.", before)


def _undo(press: Press, session, by) -> Done:
    last = last_press(session, by)
    if last is None:
        raise TakeRefused("There is nothing to undo: you have pressed nothing here yet.")
    take = last.take
    if not _untouched(take, by):
        raise TakeRefused(f"{take} was changed after that: change it on its own page.")
    if last.what in (What.START, What.OVER):
        actions.withdraw_take(take)
        said = f"{take} withdrawn: its number stays used."
    else:
        _put_back(take, last.before)
        said = f"Undone: {last.get_what_display().lower()} of {str(take).lower()}."
    last.undone = True
    last.save(update_fields=["undone"])
    return Done(take, said)


DOES: dict[str, Callable[[Press, RecordingSession, object], Done]] = {
    What.START: _start,
    What.OVER: _start,
    What.END: _end,
    What.MARK: _mark,
    What.CIRCLE: _circle,
    What.NOTE: _note,
    What.WITHDRAW: _withdraw,
    What.RESTORE: _restore,
    What.UNDO: _undo,
}


# --- what was seen, and what is put back --------------------------------------------------------


def _seen(press: Press, by) -> Mapping[int, int]:
    """Versions that the presser saw; of a take that the device had no answer for yet, those that their
    own last press of it left. Else of all parts, no version: nothing is overwritten unseen."""
    if press.seen:
        return press.seen
    known = _last(press.take, by, "parts") or {}
    return {each.pk: known.get(str(each.pk), 0) for each in press.take.take_parts.all()}


def _last(take: Take, by, of: str):
    last = take.presses.filter(user=by).order_by("-pk").first()
    return last and last.after[of]


def last_press(session: RecordingSession, user) -> TakePress | None:
    """The last thing that the person pressed in the session and has not taken back."""
    presses = session.take_presses.filter(user=user, undone=False).exclude(what=What.UNDO)
    return presses.select_related("take__song").order_by("-pk").first()


def _untouched(take: Take, by) -> bool:
    """Nobody else pressed anything at the take, or edited it, after this person's last press of it."""
    latest = take.presses.order_by("-pk").first()
    return latest.user_id == by.pk and latest.after == versions(take)


def _state(take: Take, *, parts: bool = False) -> dict:
    """What an undo puts back."""
    state = {
        "ended_at": take.ended_at.isoformat() if take.ended_at else None,
        "withdrawn": take.withdrawn,
    }
    if parts:
        of = take.take_parts.values_list("pk", "mark", "circled")
        state["parts"] = {str(key): [mark, circled] for key, mark, circled in of}
    return state


def _put_back(take: Take, before: dict) -> None:
    if "note" in before:
        actions.note_take(take, version=take.version, note=before["note"])
        return
    ended_at = before["ended_at"] and datetime.fromisoformat(before["ended_at"])
    if ended_at is None and not take.is_rolling:
        actions.refuse_second(take.song, list(take.parts.all()))
    take.ended_at, take.withdrawn = ended_at, before["withdrawn"]
    take.save(update_fields=["ended_at", "withdrawn"])
    for each in take.take_parts.filter(pk__in=before.get("parts", ())):
        mark, circled = before["parts"][str(each.pk)]
        actions.correct_part(each, version=each.version, mark=mark, circled=circled)
    for key, version in before.get("masters", {}).items():
        if master := TakePart.objects.filter(pk=key, version=version).first():
            actions.correct_part(master, version=version, mark=Mark.MASTER)
