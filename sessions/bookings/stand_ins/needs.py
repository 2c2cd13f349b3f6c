"""What sessions to come cannot have as it stands, and nothing stands in for yet."""

from collections import defaultdict
from collections.abc import Iterable

from django.db.models import QuerySet
from django.utils import timezone

from sessions.bookings.models import RecordingSession, Reservation


def open_needs(sessions: QuerySet | Iterable[RecordingSession] | None = None) -> QuerySet:
    """Of all sessions to come, or of these; as `stand_ins_for` and `why` want them, the next first."""
    needs = Reservation.objects.to_come(timezone.now()).not_to_be_had()
    if sessions is not None:
        needs = needs.filter(session__in=sessions)
    needs = needs.for_list().with_holders().select_related("unit__supply__model")
    return needs.order_by("session__starts_at", "session", "pk")


def needs_by_session(sessions: Iterable[RecordingSession | int]) -> dict[int, list[Reservation]]:
    """Those of these sessions (or their keys), by the session's key. One query, where there are any."""
    found = defaultdict(list)
    for need in open_needs(sessions) if sessions else ():
        found[need.session_id].append(need)
    return found


def why(need: Reservation) -> str:
    """Who or what, and what is wrong: "Ulric Yarrell cannot be there", "Gudgeon (MC-03) is on the
    bench"."""
    return f"{need.resource} {why_not(need)}"


def why_not(need: Reservation) -> str:
    """What is wrong in a few words that anybody may read: never why somebody is away.

    Reads the unit with its supply.
    """
    if need.person_id:
        return "cannot be there"
    if need.room_id:
        return "is closed then"
    for unit, whose in ((need.unit, "is"), (need.unit.supply, "has its supply")):
        if unit and not unit.is_in_service:
            return f"{whose} {unit.get_state_display().lower()}"
    return "is blocked then"
