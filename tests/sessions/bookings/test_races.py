"""Several processes at once, and one that is killed: on whichever engine the tests run."""

import json
import os
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from pathlib import Path
from urllib.parse import quote

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
from tests.sessions.bookings.days import hours

ROOT = Path(__file__).resolve().parents[3]
PROCESSES, SECONDS = 4, 4
OVERLAPS = """
    SELECT COUNT(*) FROM studio_sessions_reservation a JOIN studio_sessions_reservation b
    ON a.room_id = b.room_id AND a.rank = b.rank AND a.id < b.id
    AND a.starts_at < b.ends_at AND b.starts_at < a.ends_at
"""
UNSUPPORTED = """
    SELECT COUNT(*) FROM studio_sessions_reservation a WHERE a.rank > 1 AND NOT EXISTS (
    SELECT 1 FROM studio_sessions_reservation b WHERE a.room_id = b.room_id
    AND b.rank = a.rank - 1 AND a.starts_at < b.ends_at AND b.starts_at < a.ends_at)
"""
STANDING = "SELECT session_id FROM studio_sessions_reservation WHERE rank IS NOT NULL"


class SharedDatabase:
    """A database that other processes can open, and how to look into it from here."""

    def __init__(self, tmp_path):
        self.file = tmp_path / "shared.sqlite3" if connection.vendor == "sqlite" else None
        if self.file:
            with sqlite3.connect(self.file) as copy:
                connection.connection.backup(copy)
            self.url = f"sqlite:///{self.file}"
        else:
            of = connection.settings_dict
            # The host may be the folder of a socket, and the password anything.
            who = ":".join(quote(of[name], safe="") for name in ("USER", "PASSWORD"))
            where = quote(of["HOST"], safe="") + (f":{of['PORT']}" if of["PORT"] else "")
            self.url = f"postgres://{who}@{where}/{of['NAME']}"

    def ask(self, query):
        if self.file is None:
            with connection.cursor() as cursor:
                cursor.execute(query)
                return cursor.fetchall()
        with sqlite3.connect(self.file) as looking:
            return looking.execute(query).fetchall()

    def start(self, what, wish):
        return subprocess.Popen(
            [sys.executable, "-m", "tests.sessions.bookings.racing", what, json.dumps(wish)],
            cwd=ROOT,
            env=os.environ | {"DATABASE_URL": self.url},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )


@pytest.fixture
def wish(real_database):
    """Two rooms to fight for; made before `shared`, which copies what is there."""
    return {
        "project": ProjectFactory().pk,
        "user": UserFactory().pk,
        "rooms": [RoomFactory().pk, RoomFactory().pk],
        "seconds": SECONDS,
    }


@pytest.fixture
def shared(wish, tmp_path):
    return SharedDatabase(tmp_path)


def test_processes_booking_the_same_rooms_never_overlap(shared, wish):
    racers = [shared.start("race", wish | {"seed": seed}) for seed in range(PROCESSES)]
    for racer in racers:
        assert racer.stdout.readline() == "ready\n"
    for racer in racers:
        racer.stdin.write("go\n")
        racer.stdin.flush()

    answers = [
        line.split() for racer in racers for line in racer.communicate(timeout=60)[0].splitlines()
    ]

    said = {
        word: [answer[1:] for answer in answers if answer[0] == word]
        for word in ("booked", "cancelled", "clash", "error")
    }
    assert said["error"] == []
    assert said["booked"]
    assert said["clash"], "nobody was refused: that was no race"
    assert shared.ask(OVERLAPS) == [(0,)]
    assert shared.ask(UNSUPPORTED) == [(0,)]
    acknowledged = {key for (key,) in said["booked"]} - {key for (key,) in said["cancelled"]}
    assert {str(key) for (key,) in shared.ask(STANDING)} == acknowledged


def test_acknowledged_booking_survives_a_kill(shared, wish):
    process = shared.start("book", wish)

    key = process.stdout.readline().strip()
    os.kill(process.pid, signal.SIGKILL)

    assert process.wait(timeout=10) == -signal.SIGKILL
    process.communicate()
    assert [str(found) for (found,) in shared.ask(STANDING)] == [key, key]


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
            answers.append([clash.session.title for clash in refused.clashes])
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
