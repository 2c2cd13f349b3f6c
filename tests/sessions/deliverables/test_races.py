"""Several processes that hand in at once, and one that is killed: on either engine."""

import json
import os
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.factories import SongFactory, UserFactory
from tests.shared_database import ROOT, SharedDatabase
from tests.signals import write_wav

VERSIONS = "SELECT version FROM studio_sessions_deliverable ORDER BY version"
FILES = """
    SELECT d.version, f.file, f.size_bytes FROM studio_sessions_deliverable d
    LEFT JOIN studio_sessions_deliverablefile f ON f.deliverable_id = d.id ORDER BY d.version
"""


@pytest.fixture
def wish(real_database, folders, source, sound):
    return {
        "song": SongFactory().pk,
        "user": UserFactory().pk,
        "wav": str(write_wav(source("mix.wav"), sound)),
        "files": str(folders / "files"),
        "incoming": str(folders / "incoming"),
    }


@pytest.fixture
def shared(wish, tmp_path):
    return SharedDatabase(tmp_path)


@contextmanager
def handing_in(shared, wish, *, times):
    process = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "tests.sessions.deliverables.racing",
            json.dumps(wish | {"times": times}),
        ],
        cwd=ROOT,
        env=os.environ | {"DATABASE_URL": shared.url},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    try:
        yield process
    finally:
        process.kill()
        process.communicate()


def test_each_of_several_at_once_gets_a_version_of_its_own(shared, wish):
    with handing_in(shared, wish, times=3) as one, handing_in(shared, wish, times=3) as other:
        for process in (one, other):
            process.stdin.write("go\n")
            process.stdin.flush()
        told = [int(line) for process in (one, other) for line in process.stdout]

    assert sorted(told) == [1, 2, 3, 4, 5, 6]
    assert [version for (version,) in shared.ask(VERSIONS)] == [1, 2, 3, 4, 5, 6]


def test_a_process_that_is_killed_leaves_no_row_without_its_whole_file(shared, wish):
    told = []
    for heard in range(3):
        with handing_in(shared, wish, times=100) as process:
            process.stdin.write("go\n")
            process.stdin.flush()
            told += [int(process.stdout.readline()) for _ in range(heard + 1)]

    rows = shared.ask(FILES)
    assert set(told) <= {version for version, _, _ in rows}, "what was acknowledged is there"
    for _, name, size in rows:
        assert (Path(wish["files"]) / name).stat().st_size == size
