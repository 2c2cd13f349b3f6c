"""Sound has a process of its own, and both are kept."""

import os
import signal
import sys
import time

import pytest
from django.core import mail
from django_tasks_db.models import DBTaskResult

from sessions.tasks.models import DEFAULT, SOUND, Worker
from studio.working import lanes
from studio.working.worker import StudioWorker, sign_of_life
from tests.factories import LetterFactory
from tests.studio.working import tasks

PATIENCE = 30  # seconds


@pytest.mark.django_db
def test_papers_and_letters_are_done_while_sound_is_measured():
    tasks.done.clear()
    tasks.measured_for_hours.enqueue()
    tasks.note.enqueue("recall sheet")
    LetterFactory()

    with sign_of_life("measures", SOUND):
        DBTaskResult.objects.get(queue_name=SOUND).claim("measures")
        StudioWorker(DEFAULT, once=True).run()

        assert tasks.done == ["recall sheet"]
        assert len(mail.outbox) == 1
        assert DBTaskResult.objects.running().get().queue_name == SOUND


@pytest.mark.django_db
def test_who_does_sound_does_nothing_else_and_takes_as_long_as_it_needs():
    tasks.done.clear()
    tasks.note.enqueue("recall sheet")
    tasks.measured_for_hours.enqueue()
    LetterFactory()

    StudioWorker(SOUND, once=True).run()

    assert tasks.done == ["measured"]
    assert mail.outbox == []


@pytest.mark.django_db
def test_who_does_sound_is_never_the_one_that_does_the_regular_work():
    Worker.objects.sign("sound", SOUND)
    Worker.objects.sign("all else", DEFAULT)

    assert [name for name in ("sound", "all else") if Worker.objects.is_first(name)] == ["all else"]
    assert [worker.name for worker in Worker.objects.alive(SOUND)] == ["sound"]


@pytest.fixture
def _signals_as_before():
    handler = signal.getsignal(signal.SIGTERM)
    yield
    signal.signal(signal.SIGTERM, handler)


@pytest.mark.usefixtures("_signals_as_before")
def test_both_are_kept_and_end_with_whoever_keeps_them(tmp_path, monkeypatch):
    """One that ends is started again; when the keeper is told to end, so are they."""
    says = f"""
import os, sys, time
open(f"{tmp_path}/{{sys.argv[2]}}-{{os.getpid()}}", "w")
time.sleep(0 if sys.argv[2] == "default" else 600)
"""

    def begun(queue):
        return [int(path.name.rpartition("-")[2]) for path in tmp_path.glob(f"{queue}-*")]

    until, pause = time.monotonic() + PATIENCE, time.sleep

    def told_to_end(_):
        pause(0.01)
        if len(begun(DEFAULT)) > 1 and begun(SOUND) or time.monotonic() > until:
            os.kill(os.getpid(), signal.SIGTERM)

    monkeypatch.setattr(lanes, "WORK", (sys.executable, "-c", says))
    monkeypatch.setattr(lanes.time, "sleep", told_to_end)
    with pytest.raises(SystemExit):
        lanes.keep_lanes()

    assert len(begun(DEFAULT)) >= 2
    [sound] = begun(SOUND)
    with pytest.raises(ProcessLookupError):
        os.kill(sound, 0)
