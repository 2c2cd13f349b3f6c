"""What became of a session's reservations: who reserved, moved and released what, and when."""

from gear.equipment.record import Edit, who_of
from sessions.bookings.models import ORDINALS, RecordingSession, Reservation
from sessions.periods import period_in_words


def reservation_changes(session: RecordingSession) -> list[Edit]:
    """The history of the reservations of a session, last first; those it has dropped too. One query."""
    entries = Reservation.history.filter(session_id=session.pk).select_related(
        "room", "person", "unit__model", "history_user"
    )
    return [
        Edit(entry.history_date, who_of(entry), _in_words(entry))
        for entry in entries.order_by("-history_date", "-history_id")
    ]


def _in_words(entry) -> str:
    resource = entry.room or entry.person or entry.unit
    if entry.history_type == "-":
        return f"{resource} removed"
    done = {"+": "reserved"}.get(entry.history_type, entry.history_change_reason or "changed")
    period = period_in_words(entry.starts_at, entry.ends_at)
    return f"{resource} {done}: {period}, {_place(entry.rank)}"


def _place(rank: int | None) -> str:
    if rank is None:
        return "reserves nothing"
    if rank == 1:
        return "has the time"
    return f"{ORDINALS[rank - 1]} hold" if rank <= len(ORDINALS) else f"{rank}th hold"
