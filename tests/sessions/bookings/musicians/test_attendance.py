from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from gear.editing.versions import EditedMeanwhile
from sessions.bookings.actions import change_session, give_credit
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import Attendance, AttendanceBreak, Status
from sessions.bookings.musicians.actions import (
    change_attendance,
    come_in,
    end_break,
    go_out,
    remove_attendance,
    start_break,
    write_attendance,
)
from sessions.bookings.musicians.lines import musicians_of
from sessions.letters.models import Letter
from sessions.periods import moment_in_words
from tests.factories import (
    TEN_O_CLOCK,
    AttendanceFactory,
    CreditFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
)
from tests.sessions.bookings.days import booked

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


def clock(hours: float):
    """10 is ten o'clock UTC on the session's day."""
    return TEN_O_CLOCK + (hours - 10) * HOUR


@pytest.fixture
def session():
    return RecordingSessionFactory(status=Status.UNDER_WAY)


@pytest.fixture
def cornet(session):
    """Mina Sprigge, who doubles flugelhorn and sings one verse."""
    person = PersonFactory(name="Mina Sprigge", credited_as="M. Sprigge")
    facts = {"session": session, "person": person}
    CreditFactory(**facts, role="musician", instrument="Cornet")
    CreditFactory(**facts, role="musician", instrument="Flugelhorn")
    CreditFactory(**facts, role="vocalist", instrument="")
    return person


def test_presses_of_a_day_give_the_time_played(session, cornet, assistant):
    who = {"person": cornet, "by": assistant}
    write_attendance(session, called_at=clock(10), **who)

    come_in(session, at=clock(9.75), **who)
    start_break(session, at=clock(12), **who)
    end_break(session, at=clock(13), **who)
    start_break(session, at=clock(15), **who)
    go_out(session, at=clock(15.5), **who)  # ends the break, too

    attendance = session.attendances.get()
    assert (attendance.called_at, attendance.came_at) == (clock(10), clock(9.75))
    assert attendance.breaks_in_words == "13:00 to 14:00, 16:00 to 16:30"
    assert attendance.played == timedelta(hours=4, minutes=15)
    assert attendance.history.first().history_user == assistant


def test_press_that_does_not_fit_is_refused(session, cornet, assistant):
    who = {"person": cornet, "by": assistant}
    for verb in (go_out, start_break, end_break):
        with pytest.raises(BookingRefused, match="is not in"):
            verb(session, at=clock(10), **who)
    come_in(session, at=clock(10), **who)
    with pytest.raises(BookingRefused, match="is in already"):
        come_in(session, at=clock(11), **who)
    with pytest.raises(BookingRefused, match="no break that could end"):
        end_break(session, at=clock(11), **who)
    start_break(session, at=clock(11), **who)
    with pytest.raises(BookingRefused, match="has a break already"):
        start_break(session, at=clock(12), **who)

    assert AttendanceBreak.objects.count() == Attendance.objects.count() == 1


def test_nobody_comes_in_to_what_is_not_confirmed(assistant):
    hold = RecordingSessionFactory(status=Status.HELD)
    with pytest.raises(BookingRefused, match="not confirmed"):
        come_in(hold, person=PersonFactory(), at=clock(10), by=assistant)


@pytest.mark.parametrize(
    ("field", "facts"),
    [
        ("called_at", {}),
        ("came_at", {"left_at": clock(12), "called_at": clock(10)}),
        ("left_at", {"came_at": clock(12), "left_at": clock(11)}),
        ("left_at", {"came_at": clock(10), "left_at": clock(35)}),
        ("came_at", {"came_at": clock(10) + timedelta(days=36500)}),
        ("breaks", {"called_at": clock(10), "breaks": [(clock(11), clock(12))]}),
        ("breaks", {"came_at": clock(10), "breaks": [(clock(9), clock(11))]}),
        ("breaks", {"came_at": clock(10), "breaks": [(clock(11), None), (clock(12), clock(13))]}),
        ("breaks", {"came_at": clock(10), "left_at": clock(12), "breaks": [(clock(11), None)]}),
        (
            "breaks",
            {"came_at": clock(10), "breaks": [(clock(11), clock(12)), (clock(11.5), clock(13))]},
        ),
    ],
)
def test_times_that_cannot_be_are_refused_beside_their_field(session, assistant, field, facts):
    with pytest.raises(BookingRefused) as refusal:
        write_attendance(session, person=PersonFactory(), **facts, by=assistant)

    assert list(refusal.value.message_dict) == [field]
    assert not Attendance.objects.exists()


def test_second_stretch_may_not_overlap(session, assistant):
    first = AttendanceFactory(session=session)
    with pytest.raises(BookingRefused, match="in already at that time"):
        write_attendance(session, person=first.person, came_at=clock(13), by=assistant)
    write_attendance(session, person=first.person, came_at=clock(14), by=assistant)


def test_change_keeps_the_breaks_that_stay_and_tells_a_second_editor(session, assistant):
    attendance = AttendanceFactory(session=session)
    stays = AttendanceBreak.objects.create(
        attendance=attendance, starts_at=clock(11), ends_at=clock(11.5)
    )
    facts = {"came_at": clock(10), "left_at": clock(15), "by": assistant}
    breaks = [(clock(11), clock(11.5)), (clock(13), clock(13.25))]

    change_attendance(attendance, version=1, breaks=breaks, **facts)

    assert stays in attendance.breaks.all()
    assert attendance.break_time == timedelta(minutes=45)
    with pytest.raises(EditedMeanwhile):
        change_attendance(attendance, version=1, breaks=[], **facts)

    remove_attendance(attendance, by=assistant)
    assert not AttendanceBreak.objects.exists()
    assert AttendanceBreak.history.filter(history_type="-").count() == 2


@pytest.mark.parametrize(
    "facts",
    [
        {"came_at": None, "left_at": None},
        {"came_at": clock(10), "left_at": clock(10)},
        {"came_at": None, "called_at": clock(9), "left_at": clock(10)},
    ],
)
def test_database_keeps_times_in_order(session, facts):
    with pytest.raises(IntegrityError), transaction.atomic():
        AttendanceFactory(session=session, **facts)


def test_database_lets_nobody_be_in_twice_and_have_two_breaks_at_once(session):
    once = AttendanceFactory(session=session, left_at=None)
    AttendanceBreak.objects.create(attendance=once, starts_at=clock(11))
    with pytest.raises(IntegrityError), transaction.atomic():
        AttendanceFactory(session=session, person=once.person, came_at=clock(12), left_at=None)
    with pytest.raises(IntegrityError), transaction.atomic():
        AttendanceBreak.objects.create(attendance=once, starts_at=clock(12))


def test_line_says_what_is_doubled_and_when_they_are_wanted(session, cornet):
    ReservationFactory(session=session, room=None, person=cornet)
    usual = CreditFactory(session=session, person__name="Ada Fenwright", role="musician").person

    ada, mina = musicians_of(session)

    assert (mina.name, mina.does) == ("M. Sprigge", "Cornet, doubling flugelhorn; Vocalist")
    assert mina.doubles == ["Flugelhorn"]
    assert (ada.person, ada.called_at) == (usual, session.starts_at)


def test_planned_call_comes_before_the_reservation(session, cornet, assistant):
    write_attendance(session, person=cornet, called_at=clock(11), by=assistant)

    assert musicians_of(session)[0].called_at == clock(11)


def test_calls_move_with_the_session_over_a_clock_change(manager):
    """Europe/London leaves summer time on 25 October 2026: eleven o'clock stays eleven o'clock."""
    session = booked(manager, status=Status.CONFIRMED)
    came = AttendanceFactory(session=session, called_at=clock(9))
    planned = AttendanceFactory(session=session, called_at=clock(9), came_at=None, left_at=None)
    by = timedelta(days=150)
    facts = {"title": session.title, "project": session.project, "by": manager}
    change_session(
        session,
        version=session.version,
        starts_at=session.starts_at + by + HOUR,
        ends_at=session.ends_at + by + HOUR,
        rooms=[each.room for each in session.reservations.all()],
        **facts,
    )

    planned.refresh_from_db()
    came.refresh_from_db()
    assert planned.called_at == clock(9) + by + HOUR
    assert came.called_at == clock(9)


def test_planned_call_is_told_to_the_player_once(cornet, manager):
    cornet.email = "mina@sprigge.example"
    cornet.save()
    soon = timezone.now().replace(microsecond=0) + timedelta(days=3)
    session = RecordingSessionFactory(
        status=Status.CONFIRMED, starts_at=soon, ends_at=soon + 4 * HOUR
    )
    give_credit(session, person=cornet, role="musician", instrument="Cornet", by=manager)
    letters = Letter.objects.filter(to="mina@sprigge.example")
    letters.update(state="sent")

    attendance = write_attendance(session, person=cornet, called_at=soon + HOUR, by=manager)
    told = letters.latest("pk")
    change_attendance(attendance, version=1, called_at=soon + HOUR, note="Mutes", by=manager)

    assert letters.count() == 2
    assert "Your call" in told.text
    assert moment_in_words(soon + HOUR) in told.text
