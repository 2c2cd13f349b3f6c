"""The processes that serve a studio and work for it, any of which may be killed at any moment."""

import os
import random
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from django.urls import reverse

from tests.measure.web import CONF, HOST, PATIENCE, ask, free_port

LONGEST_END = 30  # seconds in which a lane ends what it is at
WORK = [sys.executable, "-m", "django", "work"]


@dataclass
class Processes:
    """A server of so many processes at one address for ever, and the two lanes of its worker."""

    serving: int
    port: int = field(default_factory=free_port)
    begun: list[subprocess.Popen] = field(default_factory=list)

    def __enter__(self) -> "Processes":
        self.start_server()
        self.start_worker()
        self.wait_until_served()
        return self

    def __exit__(self, *_) -> None:
        for begun in self.begun:
            kill_all(begun)

    def start_server(self) -> None:
        gunicorn = [sys.executable, "-m", "gunicorn", "studio.wsgi", "-c", CONF]
        said = ["--workers", str(self.serving), "--log-level", "error"]
        self.server = self._begun([*gunicorn, "--bind", f"{HOST}:{self.port}", *said])

    def start_worker(self) -> None:
        self.worker = self._begun(WORK)

    def _begun(self, command: list) -> subprocess.Popen:
        self.begun.append(subprocess.Popen(command, start_new_session=True))
        return self.begun[-1]

    def wait_until_served(self) -> None:
        until = time.monotonic() + PATIENCE
        while True:
            with suppress(OSError):
                ask(self.port, "GET", reverse("login"))
                return
            if time.monotonic() > until:
                raise RuntimeError(f"The server did not answer within {PATIENCE} seconds.")
            time.sleep(0.1)

    def left_alone(self) -> list[int]:
        """Processes whose keeper was killed, and that go on for long after it."""
        until = time.monotonic() + LONGEST_END
        while True:
            gone = [each for each in self.begun if each not in (self.server, self.worker)]
            left = [pid for each in gone for pid in of_session(each.pid)]
            if not left or time.monotonic() > until:
                return left
            time.sleep(0.2)

    # --- what may be killed -----------------------------------------------------------------------

    def kill_server(self, chance: random.Random) -> None:
        """All of it; somebody starts it again."""
        kill_all(self.server)
        self.start_server()

    def kill_process(self, chance: random.Random) -> None:
        """One of those that answer, which the server replaces."""
        _kill_one_of(self.server, chance)

    def kill_worker(self, chance: random.Random) -> None:
        kill_all(self.worker)
        self.start_worker()

    def kill_lane(self, chance: random.Random) -> None:
        """One of the two, or a child in which a file is read."""
        _kill_one_of(self.worker, chance)

    def kill_keeper(self, chance: random.Random) -> None:
        """Who keeps the lanes: they end what they are at, while others begin already."""
        self.worker.kill()
        self.worker.wait()
        self.start_worker()

    KINDS = {
        "server": kill_server,
        "process": kill_process,
        "worker": kill_worker,
        "lane": kill_lane,
        "keeper": kill_keeper,
    }


def of_session(leader: int) -> list[int]:
    """The processes of a session (setsid(2)) besides the one that began it: its children, theirs, and
    those whose parent is gone."""
    return [pid for pid in _all_pids() if pid != leader and _session_of(pid) == leader]


def kill_all(begun: subprocess.Popen) -> None:
    begun.kill()
    begun.wait()
    while left := of_session(begun.pid):
        for pid in left:
            _kill(pid)
        time.sleep(0.01)


def held_mb(begun: subprocess.Popen) -> float:
    """What it and its children hold in memory, together."""
    return sum(map(_held_kb, [begun.pid, *of_session(begun.pid)])) / 1024


def _kill_one_of(begun: subprocess.Popen, chance: random.Random) -> None:
    if others := of_session(begun.pid):
        _kill(chance.choice(sorted(others)))


def _kill(pid: int) -> None:
    with suppress(ProcessLookupError):
        os.kill(pid, signal.SIGKILL)


def _all_pids() -> Iterator[int]:
    return (int(folder.name) for folder in Path("/proc").glob("[0-9]*"))


def _session_of(pid: int) -> int | None:
    """None for one that is gone, or dead and not yet waited for."""
    with suppress(OSError):
        state, _parent, _group, session = (
            Path(f"/proc/{pid}/stat").read_text().rpartition(") ")[2].split()[:4]
        )
        return None if state == "Z" else int(session)
    return None


def _held_kb(pid: int) -> int:
    with suppress(OSError):
        found = re.search(r"VmRSS:\s*(\d+)", Path(f"/proc/{pid}/status").read_text())
        return int(found[1]) if found else 0
    return 0
