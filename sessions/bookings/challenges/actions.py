"""Challenge a hold, take the challenge back, and let holds lapse that were not answered for."""

from datetime import datetime, timedelta

from django.utils import timezone

from gear.acting import action
from sessions.bookings.actions import give_up_unanswered
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.holds.answers import holds_before
from sessions.bookings.models import Challenge, ChallengeOutcome, RecordingSession, Status
from sessions.bookings.telling import tell
from sessions.periods import moment_in_words
from sessions.rooms.models import HouseRules


@action
def challenge_hold(hold: RecordingSession, *, challenger: RecordingSession, by) -> Challenge:
    """Ask the holder to confirm or release by a deadline, after which the hold lapses.

    The deadline lies as many hours ahead as the house's rules say. Raises BookingRefused unless the
    challenger stands behind the hold, the hold has no open challenge, and the session that is held
    begins after the deadline.
    """
    now = timezone.now()
    hold, challenger = _locked_pair(hold, challenger)
    hours = HouseRules.current().challenge_hours
    deadline = now + timedelta(hours=hours)
    _check_challenge(hold, challenger, deadline, hours)
    challenge = Challenge.objects.create(
        hold=hold, challenger=challenger, made_at=now, made_by=by, deadline=deadline
    )
    tell(hold, challenger, by=by)
    return challenge


@action
def withdraw_challenge(challenge: Challenge, *, by) -> Challenge:
    """Leave the hold in peace. Raises BookingRefused where the challenge was answered meanwhile."""
    _locked_pair(challenge.hold, challenge.challenger)
    challenge.refresh_from_db()
    if challenge.outcome != ChallengeOutcome.OPEN:
        raise BookingRefused(
            f"This challenge is over: {challenge.get_outcome_display().lower()} "
            f"{moment_in_words(challenge.closed_at)}."
        )
    challenge.outcome = ChallengeOutcome.WITHDRAWN
    challenge.closed_at = timezone.now()
    challenge.save(update_fields=["outcome", "closed_at"])
    tell(challenge.hold, challenge.challenger, by=by)
    return challenge


def lapse_due(now: datetime) -> list[RecordingSession]:
    """Let every hold lapse whose deadline has come; returns those that lapsed just now.

    Each in a transaction of its own, so that a second run at the same time finds the work done.
    Costs one query where nothing is due, so that any page may call it before it shows holds.
    """
    due = Challenge.objects.due(now).values_list("hold", flat=True).order_by("deadline", "pk")
    return [lapsed for hold in list(due) if (lapsed := _lapse(hold, now, by=None))]


@action
def _lapse(hold: int, now: datetime, *, by: None) -> RecordingSession | None:
    """The hold's row is locked before its challenge is looked at again: somebody may have answered."""
    session = RecordingSession.objects.select_for_update(no_key=True).get(pk=hold)
    challenge = Challenge.objects.due(now).filter(hold=session).for_list().first()
    if challenge is None:
        return None
    give_up_unanswered(session, challenge, at=now)
    return session


def _locked_pair(*sessions: RecordingSession) -> list[RecordingSession]:
    """The sessions as they are now, always locked in the same order."""
    keys = [session.pk for session in sessions]
    rows = (
        RecordingSession.objects.filter(pk__in=keys).order_by("pk").select_for_update(no_key=True)
    )
    found = {row.pk: row for row in rows}
    return [found[key] for key in keys]


def _check_challenge(
    hold: RecordingSession, challenger: RecordingSession, deadline: datetime, hours: int
) -> None:
    """Messages stand under the field of the form that asks for the hold."""
    if hold.status != Status.HELD:
        refused = f"“{hold}” is {hold.get_status_display().lower()}: there is no hold to challenge."
    elif hold not in holds_before(challenger, among=RecordingSession.objects.filter(pk=hold.pk)):
        refused = (
            f"“{challenger}” is not behind “{hold}”: only a hold that waits for the same "
            "time can challenge it."
        )
    elif standing := Challenge.objects.open().filter(hold=hold).first():
        refused = (
            f"“{hold}” is challenged already and has to be confirmed or released by "
            f"{moment_in_words(standing.deadline)}."
        )
    elif hold.starts_at < deadline:
        refused = (
            f"“{hold}” begins {moment_in_words(hold.starts_at)}, in less than the {hours} "
            "hours that its holder has to answer. Speak to them, and release the hold "
            "yourself."
        )
    else:
        return
    raise BookingRefused({"hold": refused})
