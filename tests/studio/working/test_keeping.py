"""Processes that are kept, and end with whoever keeps them, however that one ends."""

import os
import signal
import subprocess
import sys
import time
from contextlib import suppress

import pytest

from tests.shared_database import ROOT

PATIENCE = 30  # seconds
KEEP = """
import sys
from studio.working import keeping
keeping.PAUSE = 0.05
says = "import os, sys, time; open(sys.argv[1] + '-' + str(os.getpid()), 'w'); time.sleep(float(sys.argv[2]))"
keeping.keep([[sys.executable, "-c", says, sys.argv[1] + "/" + name, seconds] for name, seconds in
      (("ends", "0"), ("stays", "600"), ("stays too", "600"))])
"""


@pytest.fixture
def keeper(tmp_path):
    own = {"MALLOC_ARENA_MAX": "7"}
    process = subprocess.Popen(
        [sys.executable, "-c", KEEP, tmp_path], cwd=ROOT, env=os.environ | own
    )
    yield process
    with suppress(ProcessLookupError):
        process.kill()
    process.wait()


def begun(folder, name) -> list[int]:
    return [int(path.name.rpartition("-")[2]) for path in folder.glob(f"{name}-*")]


def until(holds) -> None:
    for _ in range(PATIENCE * 20):
        if holds():
            return
        time.sleep(0.05)
    pytest.fail("It did not come to that.")


def is_running(pid) -> bool:
    """Not as what is only left to be buried by whoever adopted it."""
    try:
        with open(f"/proc/{pid}/stat") as facts:
            return facts.read().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


@pytest.mark.parametrize("told", [signal.SIGTERM, signal.SIGINT, signal.SIGKILL])
def test_one_that_ends_is_started_again_and_all_end_with_their_keeper(keeper, tmp_path, told):
    until(lambda: len(begun(tmp_path, "ends")) > 1 and begun(tmp_path, "stays too"))
    [stays], [too] = begun(tmp_path, "stays"), begun(tmp_path, "stays too")

    os.kill(keeper.pid, told)

    assert keeper.wait(PATIENCE) == (-told if told == signal.SIGKILL else 0)
    until(lambda: not is_running(stays) and not is_running(too))


def test_they_give_memory_back_unless_the_server_says_otherwise(keeper, tmp_path):
    until(lambda: begun(tmp_path, "stays"))
    [pid] = begun(tmp_path, "stays")
    with open(f"/proc/{pid}/environ", "rb") as facts:
        environment = facts.read().split(b"\0")

    assert b"MALLOC_TRIM_THRESHOLD_=131072" in environment
    assert b"MALLOC_ARENA_MAX=7" in environment
