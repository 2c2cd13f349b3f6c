"""A form that is sent twice at the same moment, and one whose server is killed: on either engine."""

import json
import os
import subprocess
import sys

import pytest
from django.urls import reverse

from sessions.editing.presses import FIELD, new_number
from tests.factories import PartFactory, RecordingSessionFactory, UserFactory
from tests.shared_database import ROOT, SharedDatabase

TAKES = "SELECT number FROM studio_sessions_take ORDER BY number"


@pytest.fixture
def sending(real_database, tmp_path):
    """`sending(kill)`: a process that waits for a line to log a take; all of the same press."""
    part = PartFactory()
    session = RecordingSessionFactory(project=part.song.project)
    wish = {
        "user": UserFactory().pk,
        "address": reverse("takes:press", args=[session.pk]),
        "sent": {
            "song": part.song_id,
            "part": part.pk,
            "kind": "whole",
            "what": "over",
            FIELD: new_number(),
        },
    }
    shared, processes = SharedDatabase(tmp_path), []

    def start(kill=""):
        process = subprocess.Popen(
            [
                sys.executable,
                "-m",
                "tests.sessions.editing.pressing",
                json.dumps(wish | {"kill": kill}),
            ],
            cwd=ROOT,
            env=os.environ | {"DATABASE_URL": shared.url},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        processes.append(process)
        assert process.stdout.readline() == "ready\n"
        return process

    start.takes = lambda: [number for (number,) in shared.ask(TAKES)]
    yield start
    for process in processes:
        process.kill()
        process.communicate()


def answer_of(process) -> str:
    return process.communicate("\n", timeout=60)[0].strip()


@pytest.mark.django_db
def test_two_presses_at_the_same_moment_make_one_take(sending):
    both = [sending(), sending()]
    for process in both:
        process.stdin.write("\n")
        process.stdin.flush()

    first, second = [process.communicate(timeout=60)[0].strip() for process in both]

    assert "/takes/" in first
    assert second == first
    assert sending.takes() == [1]


@pytest.mark.django_db
@pytest.mark.parametrize(("kill", "left"), [("before", []), ("after", [1])])
def test_press_sent_again_after_the_server_was_killed_makes_one_take(sending, kill, left):
    assert answer_of(sending(kill)) == ""
    assert sending.takes() == left

    assert "/takes/" in answer_of(sending())

    assert sending.takes() == [1]
