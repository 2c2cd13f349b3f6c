"""How a session and a block read in a feed. One UID for a session, the same in all feeds and letters,
always with the session's own times."""

from collections.abc import Iterator
from uuid import UUID

from icalendar import Event

from sessions.bookings.event import STATUS_WORDS, padding_in_words
from sessions.bookings.models import Block, BlockKind, RecordingSession, Reservation, Status
from sessions.ical.events import new_event
from sessions.ical.names import name_of
from sessions.periods import whole_days


def session_events(
    session: RecordingSession, own: Reservation | None, *, house: UUID, studio: str
) -> Iterator[Event]:
    """The session and, in the feed of a room or person, what its own reservation keeps before and
    after it, as events of their own: the time is taken, too. `own` is None in the feed of the house;
    `studio` is the name of the place.

    Reads what `contents.py` loads.
    """
    standing = _standing(session, own)
    words = f"{session.title}: {session.project.artist}"
    if session.status in {Status.HELD, Status.CANCELLED}:
        words += f" ({standing})"
    taken = list(session.reservations.all())
    facts = {
        "changed_at": session.changed_at,
        "sequence": session.sequence,
        "location": _places(taken, own, studio),
        "status": STATUS_WORDS.get(session.status, "CONFIRMED"),
        "busy": session.takes_time and all(each.rank == 1 for each in ([own] if own else taken)),
    }
    yield new_event(
        uid=name_of(session, house),
        starts_at=session.starts_at,
        ends_at=session.ends_at,
        summary=words,
        description=[
            f"{session.project.name}, {session.project.artist}",
            f"Client: {session.project.client}",
            f"Status: {standing}",
            *([] if own else _who_and_padding(taken)),
        ],
        **facts,
    )
    if own and session.takes_time:
        for part, starts_at, ends_at in (
            ("Before", own.starts_at, own.ready_at),
            ("After", own.done_at, own.ends_at),
        ):
            if starts_at < ends_at:
                yield new_event(
                    uid=name_of(own, house, part),
                    starts_at=starts_at,
                    ends_at=ends_at,
                    summary=f"{part} {words}",
                    description=[f"Session: {session.period_in_words}"],
                    **facts,
                )


def block_event(block: Block, own: Reservation | None, *, house: UUID, studio: str) -> Event:
    """Whole days are dates (RFC 5545, section 3.6.1: the last one is not in it). Why somebody is on
    leave is not for whoever has the address."""
    taken = list(block.reservations.all())
    kind = block.get_kind_display()
    away = ", ".join(each.person.name for each in taken if each.person_id)
    title = away if block.kind == BlockKind.LEAVE else block.title
    starts_at, ends_at = block.starts_at, block.ends_at
    if days := whole_days(starts_at, ends_at):
        starts_at, ends_at = days
    return new_event(
        uid=name_of(block, house),
        changed_at=block.changed_at,
        sequence=block.version - 1,
        starts_at=starts_at,
        ends_at=ends_at,
        summary=f"{kind}: {title}" if title else kind,
        location=_places(taken, own, studio),
        description=[f"Unavailable: {kind.lower()}"],
    )


def _standing(session: RecordingSession, own: Reservation | None) -> str:
    if session.status == Status.CANCELLED or own is None:
        return session.standing
    return own.standing


def _who_and_padding(taken: list[Reservation]) -> list[str]:
    people = ", ".join(each.person.name for each in taken if each.person_id)
    return [
        f"People: {people}" if people else "",
        *(
            f"{each.room}: {words[0].lower()}{words[1:]}"
            for each in taken
            if each.room_id
            for words in padding_in_words(each)
        ),
    ]


def _places(taken: list[Reservation], own: Reservation | None, studio: str) -> str:
    """The room itself, or all rooms; and the house."""
    rooms = [own] if own and own.room_id else [each for each in taken if each.room_id]
    return ", ".join([*(each.room.name for each in rooms), studio])
