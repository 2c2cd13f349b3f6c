"""From one status to another: each step in one transaction, leaving every line in order."""

from datetime import datetime

from django.utils import timezone

from gear.acting import action
from sessions.bookings.actions.arranging import arrange
from sessions.bookings.actions.checks import check_bookable, check_rooms
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import Challenge, RecordingSession, Status
from sessions.bookings.races import locked
from sessions.periods import moment_in_words

# From each status the steps that may follow, and what the person who takes one does. Each step on
# has a way back, so that a slip of the finger is not for ever.
STEPS = {
    Status.ENQUIRY: {
        Status.HELD: "Hold the time",
        Status.CONFIRMED: "Confirm",
        Status.CANCELLED: "Cancel the enquiry",
    },
    Status.HELD: {
        Status.CONFIRMED: "Confirm",
        Status.ENQUIRY: "Release the hold",
        Status.CANCELLED: "Cancel the session",
    },
    Status.CONFIRMED: {
        Status.UNDER_WAY: "Start",
        Status.HELD: "Back to a hold",
        Status.CANCELLED: "Cancel the session",
    },
    Status.UNDER_WAY: {Status.WRAPPED: "Wrap", Status.CONFIRMED: "Undo start"},
    Status.WRAPPED: {Status.UNDER_WAY: "Reopen session"},
    Status.CANCELLED: {Status.ENQUIRY: "Reopen as enquiry"},
}


def may_step(user, session: RecordingSession, to: str) -> bool:
    """Whether the user may take a session to that status: starting and wrapping it (and back) is
    for whoever works at it, holding, confirming and cancelling for whoever settles bookings."""
    at_work = {Status.UNDER_WAY, Status.WRAPPED}
    settles = user.has_perm("studio_sessions.settle_bookings")
    return settles or bool(at_work & {session.status, to}) and to != Status.CANCELLED


@action
def set_status(
    session: RecordingSession, *, to: str, by, queue_behind: bool = False
) -> RecordingSession:
    """Take a session one step on, or back.

    Cancelled, and back to an enquiry, gives up its time and those behind move up. Held and confirmed
    need the time, as in `book_session`. Raises BookingRefused for a step that is not in `STEPS`.
    """
    session.refresh_from_db(from_queryset=RecordingSession.objects.select_for_update(no_key=True))
    if to not in STEPS[session.status]:
        raise BookingRefused(
            f"This session is {session.get_status_display().lower()}, so it cannot become "
            f"{dict(Status.choices).get(to, to).lower()}. Somebody may have changed it "
            "meanwhile."
        )
    now = timezone.now()
    if to == Status.CONFIRMED:
        _check_in_time(session, now)
    _step(session, to, at=now, queue_behind=queue_behind, by=by)
    return session


def give_up_unanswered(hold: RecordingSession, challenge: Challenge, *, at: datetime) -> None:
    """The deadline of a challenge has come: the hold lapses, the next hold moves up.

    Call inside the transaction that locked the hold and found the challenge still open.
    """
    hold.lapsed_at = at
    note = (
        f"Lapsed: challenged by “{challenge.challenger}” and not confirmed by "
        f"{moment_in_words(challenge.deadline)}"
    )
    _step(hold, Status.CANCELLED, at=at, note=note, by=None)


def _check_in_time(session: RecordingSession, now: datetime) -> None:
    late = Challenge.objects.due(now).filter(hold=session).first()
    if late:
        raise BookingRefused(
            "This hold was challenged and had to be confirmed by "
            f"{moment_in_words(late.deadline)}. It lapses now."
        )


def _step(
    session: RecordingSession,
    to: str,
    *,
    at: datetime,
    queue_behind: bool = False,
    note: str = "",
    by,
) -> None:
    """The step itself, and the record of it; call with the session's row locked."""
    was_cancelled, took_time = session.status == Status.CANCELLED, session.takes_time
    session.status, session.status_since = to, at
    if was_cancelled:
        session.lapsed_at = None
    before = {reservation.resource: reservation for reservation in session.reservations.for_list()}
    resources = locked(before)
    if session.takes_time and not took_time:
        check_rooms(resources)
        check_bookable(resources)
    session.version += 1
    session.status_steps.create(status=to, at=at, by=by, note=note)
    arrange(session, resources, before=before, queue_behind=queue_behind, all_the_same=True, by=by)
