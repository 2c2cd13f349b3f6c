"""After the deadline: once, by whoever looks first, and by several at once."""

import os
import subprocess
import sys
from datetime import timedelta

import pytest
from django.utils import timezone

from sessions.bookings.actions import set_status
from sessions.bookings.challenges.actions import challenge_hold, lapse_due
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import ChallengeOutcome, RecordingSession, Reservation, Status
from tests.factories import (
    ChallengeFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
)
from tests.sessions.bookings.challenges.lines import ASKED, at, line_of_holds, standings
from tests.shared_database import ROOT, SharedDatabase

DEADLINE = ASKED + timedelta(hours=24)
SECOND = timedelta(seconds=1)


@pytest.fixture
def line(manager):
    """Three holds, the first challenged by the second."""
    with at(ASKED):
        line = line_of_holds(manager, "First", "Second", "Third")
        challenge_hold(line[0], challenger=line[1], by=manager)
    return line


@pytest.mark.django_db
def test_hold_stands_until_the_deadline_and_lapses_then(line):
    assert lapse_due(DEADLINE - SECOND) == []
    assert standings(*line) == ["first hold", "second hold", "third hold"]

    assert lapse_due(DEADLINE) == [line[0]]

    assert standings(*line) == ["cancelled", "first hold", "second hold"]
    assert line[0].lapsed_at == line[0].status_since == DEADLINE
    assert list(RecordingSession.objects.lapsed()) == [line[0]]
    challenge = line[0].challenges.get()
    assert (challenge.outcome, challenge.closed_at) == (ChallengeOutcome.LAPSED, DEADLINE)


@pytest.mark.django_db
def test_lapse_is_on_record_as_nobodys_step(line):
    lapse_due(DEADLINE)

    step = line[0].status_steps.last()
    assert (step.status, step.at, step.by) == (Status.CANCELLED, DEADLINE, None)
    assert step.note == "Lapsed: challenged by “Second” and not confirmed by Thu 21 May 2026, 10:00"
    assert line[0].history.first().history_user is None


@pytest.mark.django_db
def test_second_look_finds_nothing_due(line, django_assert_num_queries):
    lapse_due(DEADLINE)

    with django_assert_num_queries(1):
        assert lapse_due(DEADLINE + SECOND) == []
    assert line[0].status_steps.count() == 2


@pytest.mark.django_db
def test_answer_after_the_deadline_is_refused(line, manager):
    with at(DEADLINE), pytest.raises(BookingRefused, match="confirmed by Thu 21 May 2026, 10:00"):
        set_status(line[0], to=Status.CONFIRMED, by=manager)

    with at(DEADLINE - SECOND):
        set_status(line[0], to=Status.CONFIRMED, by=manager)
    assert lapse_due(DEADLINE) == []


@pytest.mark.django_db
def test_winner_confirms_the_time_that_lapsed(line, manager):
    lapse_due(DEADLINE)

    with at(DEADLINE + SECOND):
        set_status(line[1], to=Status.CONFIRMED, by=manager)

    assert standings(*line) == ["cancelled", "confirmed", "second hold"]


@pytest.mark.django_db
def test_lapsed_hold_that_is_taken_up_again_has_not_lapsed_any_more(line, manager):
    lapse_due(DEADLINE)

    set_status(line[0], to=Status.ENQUIRY, by=manager)

    assert standings(line[0]) == ["enquiry"]
    assert not RecordingSession.objects.lapsed().exists()
    assert line[0].status_steps.filter(note__startswith="Lapsed").exists()


@pytest.mark.django_db
def test_cancelled_session_has_not_lapsed(line, manager):
    set_status(line[0], to=Status.CANCELLED, by=manager)

    assert not RecordingSession.objects.lapsed().exists()


LAPSE = """
from django.utils import timezone
from sessions.bookings.challenges.actions import lapse_due
for session in lapse_due(timezone.now()):
    print(session.pk)
"""


def test_processes_at_once_let_each_hold_lapse_once(real_database, tmp_path):
    now = timezone.now()
    room = RoomFactory()
    for day in range(1, 6):
        period = {"starts_at": now + timedelta(days=day), "status": Status.HELD}
        first, second = (RecordingSessionFactory(**period) for _ in range(2))
        ReservationFactory(session=first, room=room)
        ReservationFactory(session=second, room=room, rank=2)
        ChallengeFactory(hold=first, challenger=second, made_at=now - timedelta(days=2))
    shared = SharedDatabase(tmp_path)
    settings = {"DATABASE_URL": shared.url, "DJANGO_SETTINGS_MODULE": "tests.settings"}

    processes = [
        subprocess.Popen(
            [sys.executable, "manage.py", "shell", "--no-imports", "-c", LAPSE],
            cwd=ROOT,
            env=os.environ | settings,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _ in range(3)
    ]
    answers = [process.communicate(timeout=120) for process in processes]

    assert [
        (process.returncode, stderr)
        for process, (_, stderr) in zip(processes, answers, strict=True)
    ] == [(0, "")] * 3
    said = [text for stdout, _ in answers for text in stdout.splitlines()]
    assert len(said) == len(set(said)) == 5
    steps = "SELECT COUNT(*) FROM studio_sessions_statusstep WHERE status = 'cancelled'"
    ranks = "SELECT rank, COUNT(*) FROM studio_sessions_reservation GROUP BY rank ORDER BY rank"
    assert shared.ask(steps) == [(5,)]
    assert sorted(shared.ask(ranks), key=str) == [(1, 5), (None, 5)]
    assert Reservation.objects.count() == 10
