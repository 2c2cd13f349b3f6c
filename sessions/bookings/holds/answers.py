"""Which holds stand before a session, and what becomes of a challenge when somebody moves."""

from django.db.models import QuerySet
from django.utils import timezone

from sessions.bookings.models import (
    Challenge,
    ChallengeOutcome,
    RecordingSession,
    Reservation,
    Status,
)


def holds_before(session: RecordingSession, *, among: QuerySet) -> list[RecordingSession]:
    """The holds that have time which the session, a hold itself, stands behind for.

    Only such a hold can be challenged: one that waits behind another could not confirm. One query,
    and one more if the session's own reservations are not loaded.
    """
    if session.status != Status.HELD:
        return []
    behind = {each.resource: each for each in session.reservations.all() if (each.rank or 1) > 1}
    first = (
        Reservation.objects.of(behind)
        .filter(rank=1, session__in=among.filter(status=Status.HELD))
        .select_related("session__project__client", "room", "person", "unit__model")
        .order_by("starts_at", "pk")
    )
    return list({each.session: None for each in first if each.overlaps(behind[each.resource])})


def close_challenges(session: RecordingSession) -> list[Challenge]:
    """Close the open challenges that what became of the session has answered, and return them.

    Call inside the transaction that moved the session, after the lines have moved up.
    """
    closed = []
    for challenge in Challenge.objects.open().about(session).for_list():
        if _still_waits(challenge):
            continue
        challenge.outcome = _outcome(challenge, session)
        challenge.closed_at = session.lapsed_at or timezone.now()
        challenge.save(update_fields=["outcome", "closed_at"])
        closed.append(challenge)
    return closed


def _still_waits(challenge: Challenge) -> bool:
    holds = RecordingSession.objects.filter(pk=challenge.hold_id)
    return challenge.hold in holds_before(challenge.challenger, among=holds)


def _outcome(challenge: Challenge, moved: RecordingSession) -> str:
    if challenge.challenger == moved:
        return ChallengeOutcome.WITHDRAWN
    if moved.lapsed_at:
        return ChallengeOutcome.LAPSED
    if moved.status in {Status.CONFIRMED, Status.UNDER_WAY, Status.WRAPPED}:
        return ChallengeOutcome.CONFIRMED
    return ChallengeOutcome.RELEASED
