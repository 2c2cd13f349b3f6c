"""Many processes at once, and killed ones: on whichever engine the tests run."""

import threading
import time

import pytest
from django.db import connection, transaction

from sessions.bookings.actions import book_session
from sessions.bookings.clashes import ClashError
from sessions.bookings.models import RecordingSession, Reservation, Status
from tests.factories import (
    ProjectFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    UserFactory,
)
from tests.measure.running import measure
from tests.sessions.bookings.days import hours


@pytest.mark.django_db
@pytest.mark.parametrize("way", [[], ["--http"]])
def test_race_for_the_same_rooms_loses_and_doubles_nothing(way, tmp_path):
    """Real actions in processes, or the forms through gunicorn; each killed by SIGKILL. The command
    fails where it holds not; its verdict is tested in `tests/measure/test_race.py`."""
    printed, _ = measure(tmp_path, "race", "--writers=4", "--seconds=4", "--heats=1", *way)

    verdict = dict(line.split(maxsplit=1) for line in printed.splitlines())
    assert verdict["holds"] == "True"
    assert (verdict["lost"], verdict["overlaps"], verdict["gaps"]) == ("[]", "0", "0")
    assert verdict["writers"] == "4"


@pytest.mark.postgres
def test_race_lost_to_the_database_is_answered_with_the_clash(on_postgresql, real_database):
    """Another writer, which asks no rule of ours, takes the room after our look at it: our insert
    waits for the exclusion constraint, loses, and looks again."""
    room, project, user = RoomFactory(), ProjectFactory(), UserFactory()
    starts_at, ends_at = hours(10, 14)
    answers = []

    def book():
        try:
            book_session(
                project,
                title="Too late",
                starts_at=starts_at,
                ends_at=ends_at,
                status=Status.HELD,
                rooms=[room],
                by=user,
            )
        except ClashError as refused:
            answers.append([clash.by.title for clash in refused.clashes])
        finally:
            connection.close()

    booking = threading.Thread(target=book)
    with transaction.atomic():
        ReservationFactory(session=RecordingSessionFactory(title="First"), room=room)
        booking.start()
        wait_until_somebody_waits()
    booking.join(timeout=10)

    assert answers == [["First"]]
    assert RecordingSession.objects.get().title == "First"
    assert Reservation.objects.count() == 1


def wait_until_somebody_waits():
    waiting = (
        "SELECT COUNT(*) FROM pg_stat_activity "
        "WHERE wait_event_type = 'Lock' AND datname = current_database()"
    )
    until = time.monotonic() + 10
    while time.monotonic() < until:
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_stat_clear_snapshot()")
            cursor.execute(waiting)
            if cursor.fetchone() != (0,):
                return
        time.sleep(0.05)
    pytest.fail("nobody waited for the exclusion constraint")
