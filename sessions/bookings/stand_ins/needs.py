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


def needs_by_session(sessions: QuerySet | Iterable[RecordingSession]) -> dict[int, list]:
    """Those of these sessions, by the session's key. One query."""
    found = defaultdict(list)
    for need in open_needs(sessions):
        found[need.session_id].append(need)
    return found


def why(need: Reservation) -> str:
    """What is wrong in a few words that anybody may read: never why somebody is away.

    Reads the unit with its supply.
    """
    if need.person_id:
        return f"{need.person} cannot be there"
    if need.room_id:
        return f"{need.room} is closed then"
    unit, supply = need.unit, need.unit.supply
    if not unit.is_in_service:
        return f"{unit} is {unit.get_state_display().lower()}"
    if supply and not supply.is_in_service:
        return f"{unit}: its supply {supply.asset_tag} is {supply.get_state_display().lower()}"
    return f"{unit} is blocked then"
