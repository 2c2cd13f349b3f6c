"""Musicians come in, pause and go; what they are credited for; what they signed."""

from datetime import date, datetime, timedelta

from django.utils import timezone

from gear.acting import action, set_facts
from gear.editing.versions import claim_version
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import (
    Attendance,
    AttendanceBreak,
    Credit,
    CreditedOn,
    RecordingSession,
    Release,
    Status,
)
from sessions.bookings.musicians.breaks import Break
from sessions.bookings.telling import tell
from sessions.clients.models import Person
from sessions.signing.models import sign
from sessions.signing.statement import Statement
from sessions.songs.models import Part

LONGEST = timedelta(hours=24)
MAY_COME = (Status.CONFIRMED, Status.UNDER_WAY, Status.WRAPPED)  # the last: who forgot to go out


@action
def come_in(session: RecordingSession, *, person: Person, at: datetime, by) -> Attendance:
    """Raises BookingRefused where they are in already, or the session is not confirmed."""
    session = _locked(session)
    if session.status not in MAY_COME:
        raise BookingRefused(f"{session} is not confirmed: nobody can come in.")
    if _in(session, person):
        raise BookingRefused(f"{person} is in already.")
    attendance = _call_of_that_day(session, person, at) or Attendance(
        session=session, person=person
    )
    attendance.came_at = at
    _save(attendance)
    return attendance


@action
def go_out(session: RecordingSession, *, person: Person, at: datetime, by) -> Attendance:
    """A break that goes on ends with it. Raises BookingRefused where they are not in."""
    attendance = _who_is_in(session, person)
    if pause := attendance.open_break:
        pause.ends_at = at
        pause.save()
    attendance.left_at = at
    _save(attendance)
    return attendance


@action
def start_break(session: RecordingSession, *, person: Person, at: datetime, by) -> Attendance:
    """Raises BookingRefused where they are not in, or have a break already."""
    attendance = _who_is_in(session, person)
    if attendance.open_break:
        raise BookingRefused(f"{person} has a break already.")
    AttendanceBreak.objects.create(attendance=attendance, starts_at=at)
    _save(attendance)
    return attendance


@action
def end_break(session: RecordingSession, *, person: Person, at: datetime, by) -> Attendance:
    """Raises BookingRefused where they have no break."""
    attendance = _who_is_in(session, person)
    if not (pause := attendance.open_break):
        raise BookingRefused(f"{person} has no break that could end.")
    pause.ends_at = at
    pause.save()
    _save(attendance)
    return attendance


PRESSES = {"in": come_in, "out": go_out, "break": start_break, "back": end_break}


def _locked(session: RecordingSession) -> RecordingSession:
    return RecordingSession.objects.select_for_update(no_key=True).get(pk=session.pk)


def _in(session: RecordingSession, person: Person) -> Attendance | None:
    return session.attendances.filter(person=person, came_at__isnull=False, left_at=None).first()


def _who_is_in(session: RecordingSession, person: Person) -> Attendance:
    attendance = _in(_locked(session), person)
    if not attendance:
        raise BookingRefused(f"{person} is not in.")
    return attendance


def _call_of_that_day(session, person: Person, at: datetime) -> Attendance | None:
    day = timezone.localdate(at)
    calls = session.attendances.filter(person=person, came_at=None)
    return next((each for each in calls if timezone.localdate(each.called_at) == day), None)


def _save(attendance: Attendance) -> None:
    """Counts as an edit, so that who has its form open is told."""
    if attendance.pk:
        claim_version(attendance, attendance.version)
    attendance.save()


@action
def write_attendance(
    session: RecordingSession, *, person: Person, breaks: list[Break] = (), by, **facts
) -> Attendance:
    """A call that is planned, of which they are told, or times that were kept on paper; `facts` as of
    the model.

    Raises BookingRefused for times that cannot be.
    """
    attendance = Attendance(session=_locked(session), person=person, **facts)
    _check(attendance, breaks)
    attendance.save()
    _write_breaks(attendance, breaks)
    tell(session, by=by)
    return attendance


@action
def change_attendance(
    attendance: Attendance, *, version: int, breaks: list[Break] = (), by, **facts
) -> Attendance:
    """Under the rules of `write_attendance`. Raises EditedMeanwhile when somebody saved it after
    `version`."""
    session = _locked(attendance.session)
    claim_version(attendance, version)
    attendance.refresh_from_db()
    attendance.session = session
    set_facts(attendance, **facts)
    _check(attendance, breaks)
    attendance.save()
    _write_breaks(attendance, breaks)
    tell(session, by=by)
    return attendance


@action
def remove_attendance(attendance: Attendance, *, by) -> None:
    _locked(attendance.session)
    _write_breaks(attendance, ())
    attendance.delete()
    tell(attendance.session, by=by)


def _write_breaks(attendance: Attendance, breaks) -> None:
    """Rows that stay are left alone, so that the history says what changed."""
    wanted = list(breaks)
    for each in attendance.breaks.all():
        if (each.starts_at, each.ends_at) in wanted:
            wanted.remove((each.starts_at, each.ends_at))
        else:
            each.delete()
    for starts_at, ends_at in wanted:
        AttendanceBreak.objects.create(attendance=attendance, starts_at=starts_at, ends_at=ends_at)


def _check(attendance: Attendance, breaks) -> None:
    came, left = attendance.came_at, attendance.left_at
    if not (attendance.called_at or came):
        raise BookingRefused({"called_at": "Give the call, or when they came in."})
    if came and came > timezone.now():
        raise BookingRefused({"came_at": "This is still to come: give it as the call."})
    if left and not came:
        raise BookingRefused({"came_at": "Give when they came in, too."})
    if left and left <= came:
        raise BookingRefused({"left_at": "They went out before they came in."})
    if left and left - came > LONGEST:
        raise BookingRefused({"left_at": "This is more than a day: log each day by itself."})
    _check_breaks(came, left, breaks)
    for other in attendance.session.attendances.filter(
        person=attendance.person_id, came_at__isnull=False
    ).exclude(pk=attendance.pk):
        if came and _overlap(came, left, other.came_at, other.left_at):
            raise BookingRefused({"came_at": f"{attendance.person} was in already at that time."})


def _overlap(starts: datetime, ends: datetime | None, other_starts, other_ends) -> bool:
    """Without an end it goes on."""
    return (other_ends is None or starts < other_ends) and (ends is None or other_starts < ends)


def _check_breaks(came: datetime | None, left: datetime | None, breaks) -> None:
    if breaks and not came:
        raise BookingRefused({"breaks": "Who has not come in has no breaks."})
    until = came
    for starts, ends in breaks:
        if until is None:
            raise BookingRefused({"breaks": "Only the last break can go on."})
        if starts.replace(second=59) < until:
            raise BookingRefused(
                {"breaks": "Breaks begin after they came in, one after the other."}
            )
        if ends and ends <= starts:
            raise BookingRefused({"breaks": "A break ends after it began."})
        until = ends
    if left and breaks and (until is None or until > left):
        raise BookingRefused({"breaks": "Breaks end before they went out."})


@action
def credit_by_parts(session: RecordingSession, *, by) -> int:
    """Add to the performers' credits the parts that were recorded here and name them as performer;
    guides are left out. With several credits a part goes to the one whose instrument it names.
    How many were added."""
    _locked(session)
    credits: dict[int, list[Credit]] = {}
    for credit in session.credits.of_performers().for_list():
        credits.setdefault(credit.person_id, []).append(credit)
    given = {
        (each.credit_id, each.part_id)
        for all in credits.values()
        for one in all
        for each in one.on.all()
    }
    added = 0
    for part in recorded_parts(session):
        credit = _credit_for(part, credits.get(part.performer_id, []))
        if credit and (credit.pk, part.pk) not in given:
            CreditedOn.objects.create(credit=credit, part=part)
            added += 1
    return added


def recorded_parts(session: RecordingSession):
    """With performer and song; without guides, and takes that were withdrawn."""
    takes = {"take_parts__take__session": session, "take_parts__take__withdrawn": False}
    parts = Part.objects.filter(is_guide=False, **takes).select_related("performer", "song")
    return parts.distinct().order_by("song__title", "song", "position", "pk")


def _credit_for(part: Part, credits: list[Credit]) -> Credit | None:
    """None where their instruments don't tell which."""
    if len(credits) < 2:
        return next(iter(credits), None)
    name = part.name.casefold()
    named = [each for each in credits if each.instrument and each.instrument.casefold() in name]
    return named[0] if len(named) == 1 else None


@action
def log_release(credit: Credit, *, covers: str, signed_on: date, note: str = "", by) -> Release:
    """One that was signed on paper."""
    return Release.objects.create(
        session=credit.session,
        person=credit.person,
        covers=covers,
        signed_on=signed_on,
        note=note,
        recorded_by=by,
        recorded_at=timezone.now(),
    )


@action
def sign_release(
    credit: Credit, *, statement: Statement, covers: str, name: str, strokes: list, by
) -> Release:
    """One that was signed here, under the statement."""
    signature = sign(statement, name=name, strokes=strokes, by=by)
    return Release.objects.create(
        session=credit.session,
        person=credit.person,
        covers=covers,
        signed_on=timezone.localdate(signature.signed_at),
        signature=signature,
        recorded_by=by,
        recorded_at=timezone.now(),
    )
