"""A session moved from the schedule, through the web: what a drop would meet, the drop, and its undoing."""

import re
from datetime import UTC, datetime, time, timedelta

import pytest
import time_machine
from django.urls import reverse

from sessions.bookings.models import RecordingSession, Status
from sessions.desk.schedule.moving import MAY_WAIT
from sessions.editing.presses import new_number
from sessions.letters.models import Letter, LetterState
from sessions.rooms.models import WeeklyHours
from sessions.tasks.models import Worker
from tests.factories import (
    BlockFactory,
    ClientFactory,
    PersonFactory,
    ProjectFactory,
    ReservationFactory,
    RoomFactory,
)
from tests.sessions.bookings.days import booked, hours

pytestmark = pytest.mark.django_db
BEFORE = datetime(2026, 5, 20, 12, tzinfo=UTC)
DAY = "/schedule/day/?day=2026-06-01&show=rooms"


@pytest.fixture(autouse=True)
def _in_may():
    with time_machine.travel(BEFORE, tick=False):
        yield


@pytest.fixture
def session(manager):
    """10 to 14 UTC on the first of June 2026, which is 11 to 15 on the studio's clock."""
    rooms = [RoomFactory(name="Bread Room")]
    return booked(manager, status=Status.CONFIRMED, rooms=rooms, title="Overdubs")


def dropped(web, session, starts="15:00", ends="19:00", **more):
    fields = {
        "seen": RecordingSession.objects.get(pk=session.pk).version,
        "starts_at": f"2026-06-01T{starts}",
        "ends_at": f"2026-06-01T{ends}",
        "next": DAY,
    }
    return web.post(reverse("schedule:move", args=[session.pk]), fields | more)


def asked(web, session, starts, ends, **more):
    fields = {"starts_at": f"2026-06-01T{starts}", "ends_at": f"2026-06-01T{ends}"}
    return web.get(reverse("schedule:check", args=[session.pk]), fields | more).json()


def period_of(session):
    session.refresh_from_db()
    return session.starts_at, session.ends_at


def test_drop_moves_the_session_and_its_letters_wait_until_it_is_undone(client_of, manager):
    Worker.objects.sign("one")
    project = ProjectFactory(client=ClientFactory(email="windlass@band.example"))
    session = booked(manager, project=project, status=Status.CONFIRMED, title="Overdubs")
    Letter.objects.update(state=LetterState.SENT)
    web = client_of(manager)

    answer = dropped(web, session)
    page = web.get(DAY)

    assert (answer.status_code, answer.url) == (302, DAY)
    assert period_of(session) == hours(14, 18)
    letter = Letter.objects.get(state=LetterState.WAITING)
    assert letter.not_before == BEFORE + timedelta(minutes=1)
    assert f"1 letter to {letter.reader} waits until 13:01:00." in page.text
    web.post(reverse("schedule:undo"), {"session": session.pk, "next": DAY})
    assert period_of(session) == hours(10, 14)
    assert not Letter.objects.filter(state=LetterState.WAITING).exists()
    assert "Undone: “Overdubs” is" in web.get(DAY).text
    assert "data-until" not in web.get(DAY).text


def test_without_a_worker_no_letter_is_said_to_wait(client_of, manager):
    project = ProjectFactory(client=ClientFactory(email="windlass@band.example"))
    session = booked(manager, project=project, status=Status.CONFIRMED)
    web = client_of(manager)

    dropped(web, session)

    assert f"1 letter to {project.client} did not wait" in " ".join(web.get(DAY).text.split())


def test_drop_that_is_sent_twice_moves_once(client_of, manager, session):
    web, number, seen = client_of(manager), new_number(), session.version

    answers = [dropped(web, session, press=number, seen=seen) for _ in range(2)]

    assert [(answer.status_code, answer.url) for answer in answers] == [(302, DAY)] * 2
    session.refresh_from_db()
    assert session.version == seen + 1


def test_undo_is_offered_for_a_minute_and_for_that_move_alone(client_of, manager, session):
    web = client_of(manager)
    dropped(web, session)
    assert "data-until" in web.get(DAY).text

    web.post(reverse("schedule:undo"), {"session": session.pk + 1, "next": DAY})
    assert "nothing to undo any more" in web.get(DAY).text
    with time_machine.travel(BEFORE + timedelta(seconds=61), tick=False):
        assert "data-until" not in web.get(DAY).text
        web.post(reverse("schedule:undo"), {"session": session.pk, "next": DAY})
    assert period_of(session) == hours(14, 18)


def test_drop_on_another_column_takes_that_room_instead(client_of, manager, session):
    old, new = session.reservations.get().room, RoomFactory(name="Rope Floor")

    dropped(client_of(manager), session, kind="room", old=old.pk, new=new.pk)

    assert [each.room for each in session.reservations.all()] == [new]


def test_drop_on_taken_time_changes_nothing_and_says_who_has_it(client_of, manager, session):
    room = session.reservations.get().room
    booked(manager, status=Status.CONFIRMED, rooms=[room], start=15, end=18, title="Brass")

    answer = dropped(client_of(manager), session)

    assert answer.status_code == 200
    assert "Bread Room is taken by “Brass”" in answer.text
    assert "2026-06-01T15:00" in answer.text  # what was dropped is still there
    assert period_of(session) == hours(10, 14)


def test_hold_may_stand_behind_and_closed_time_be_booked_anyway(client_of, manager):
    room = RoomFactory()
    WeeklyHours.objects.create(room=room, weekday=0, opens=time(9), closes=time(18))
    booked(manager, rooms=[room], start=12, end=16)
    held = booked(manager, rooms=[room], start=8, end=10)
    web = client_of(manager)

    assert asked(web, held, "09:00", "10:30")["problems"] == []  # it stays within its time
    assert asked(web, held, "14:00", "16:00")["problems"][1] == MAY_WAIT
    assert "Hold behind whoever has it" in dropped(web, held, "14:00", "16:00").text
    dropped(web, held, "14:00", "16:00", queue_behind="on")
    assert held.reservations.get().rank == 2
    assert "Book anyway" in dropped(web, held, "18:00", "20:00").text
    dropped(web, held, "18:00", "20:00", all_the_same="on")
    assert period_of(held) == hours(17, 19)


def test_second_editor_is_shown_both(client_of, manager, session):
    answer = dropped(client_of(manager), session, seen=session.version - 1)

    assert answer.status_code == 409
    assert period_of(session) == hours(10, 14)


@pytest.mark.parametrize(
    ("day", "starts", "said"),
    [
        ("2026-03-29", "01:30", "There is no 01:30"),
        ("2026-10-25", "01:30", "comes twice"),
    ],
)
def test_time_that_the_clock_does_not_show_once_is_refused(
    client_of, manager, session, day, starts, said
):
    """Summer time 2026 begins on 29 March and ends on 25 October (Directive 2000/84/EC)."""
    fields = {"starts_at": f"{day}T{starts}", "ends_at": f"{day}T05:00"}
    web = client_of(manager)

    answer = dropped(web, session, **fields)

    assert said in answer.text
    assert any(said in each for each in asked(web, session, "", "", **fields)["problems"])


def test_what_a_drop_would_meet_is_said_before_and_changes_nothing(client_of, manager, session):
    rope = RoomFactory(name="Rope Floor")
    bread = session.reservations.get().room
    WeeklyHours.objects.create(room=bread, weekday=0, opens=time(9), closes=time(21))
    booked(manager, status=Status.CONFIRMED, rooms=[rope], start=15, end=18, title="Brass")
    web = client_of(manager)
    swap = {"kind": "room", "old": bread.pk, "new": rope.pk}

    assert asked(web, session, "15:00", "19:00") == {
        "when": "Mon 1 Jun 2026, 15:00 to 19:00",
        "problems": [],
    }
    [taken] = asked(web, session, "15:00", "19:00", **swap)["problems"]
    [closed] = asked(web, session, "20:00", "23:00")["problems"]
    [ends] = asked(web, session, "20:00", "19:00")["problems"]
    assert taken.startswith("Rope Floor is taken by “Brass”")
    assert closed.startswith("Bread Room is closed")
    assert ends.startswith("The end must be after the start.")
    assert period_of(session) == hours(10, 14)


@pytest.mark.parametrize("count", [1, 3])
def test_check_costs_the_same_whatever_stands_in_the_way(
    client_of, manager, count, django_assert_num_queries
):
    rooms = [RoomFactory() for _ in range(count)]
    people = [PersonFactory(bookable=True) for _ in range(count)]
    session = booked(manager, status=Status.CONFIRMED, rooms=rooms, people=people)
    for room in rooms:
        booked(manager, status=Status.CONFIRMED, rooms=[room], start=15, end=18)
    web = client_of(manager)

    with django_assert_num_queries(6):
        assert len(asked(web, session, "15:00", "19:00")["problems"]) == count


def test_only_who_books_may_move(client_of, engineer, session):
    web = client_of(engineer)

    assert dropped(web, session).status_code == 403
    assert web.get(reverse("schedule:check", args=[session.pk])).status_code == 403
    assert web.post(reverse("schedule:undo")).status_code == 403
    assert "data-session" not in web.get(DAY).text


def test_what_is_over_or_wrapped_is_not_offered_to_be_moved(client_of, manager, session):
    web = client_of(manager)
    offered = re.findall(r'class="move-link[^>]*href="([^"?]+)', web.get(DAY).text)
    assert offered == [reverse("schedule:move", args=[session.pk])]

    RecordingSession.objects.filter(pk=session.pk).update(status=Status.WRAPPED)
    assert "move-link" not in web.get(DAY).text


def test_who_is_missing_already_is_not_said_to_be_in_the_way(client_of, manager):
    piran = PersonFactory(name="Piran Tolle", bookable=True)
    session = booked(manager, status=Status.CONFIRMED, people=[piran], title="Overdubs")
    session.reservations.filter(person=piran).update(rank=None, missing=True)
    starts_at, ends_at = hours(0, 24)
    block = BlockFactory(starts_at=starts_at, ends_at=ends_at)
    ReservationFactory(
        session=None,
        block=block,
        room=None,
        person=piran,
        starts_at=starts_at,
        ends_at=ends_at,
        rank=1,
    )
    web = client_of(manager)

    assert asked(web, session, "15:00", "19:00")["problems"] == []
    assert dropped(web, session).status_code == 302
