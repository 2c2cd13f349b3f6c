"""A studio as one command runs it (`manage.py serve`): any of its processes may be killed at any moment."""

import os
import random
import re
import signal
import subprocess
import sys
import time
from contextlib import suppress
from dataclasses import dataclass, field
from http.client import HTTPException
from pathlib import Path

from django.conf import settings
from django.urls import reverse

from tests.measure.web import HOST, ask, free_port

MANAGE = [sys.executable, str(settings.BASE_DIR / "manage.py")]
PATIENCE = 120  # seconds until it answers, on a busy machine
LONGEST_END = 60  # seconds in which those end whose keeper was killed
SERVER, LANE = "gunicorn", "work --queue"  # in their command lines


@dataclass
class Processes:
    """A server of so many processes at one address for ever, so many workers for each queue, and the
    one that keeps them all."""

    serving: int
    workers: int = 1
    port: int = field(default_factory=free_port)
    begun: list[subprocess.Popen] = field(default_factory=list)

    def __enter__(self) -> "Processes":
        self.start()
        self.wait_until_served()
        return self

    def __exit__(self, *_) -> None:
        for begun in self.begun:
            kill_all(begun)

    def start(self) -> None:
        each = ["--processes", str(self.serving), "--workers", str(self.workers)]
        serve = [*MANAGE, "serve", *each, "--bind", f"{HOST}:{self.port}"]
        self.begun.append(subprocess.Popen(serve, start_new_session=True))

    def wait_until_served(self) -> None:
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            with suppress(OSError, HTTPException):
                ask(self.port, "GET", reverse("login"))
                return
            time.sleep(0.1)
        raise RuntimeError(f"The server did not answer within {PATIENCE} seconds.")

    @property
    def keeper(self) -> subprocess.Popen:
        return self.begun[-1]

    def held_mb(self) -> tuple[float, float]:
        """What the server holds in memory, and what its workers and their children do."""
        of_server = [pid for pid in of_session(self.keeper.pid) if SERVER in _command_of(pid)]
        others = set(of_session(self.keeper.pid)) - set(of_server)
        return sum(map(_held_kb, of_server)) / 1024, sum(map(_held_kb, others)) / 1024

    def left_alone(self) -> list[str]:
        """What goes on for long after its keeper was killed."""
        until = time.monotonic() + LONGEST_END
        while True:
            left = [pid for each in self.begun[:-1] for pid in of_session(each.pid)]
            if not left or time.monotonic() > until:
                return [_command_of(pid) for pid in left]
            time.sleep(0.2)

    # --- what may be killed -----------------------------------------------------------------------

    def kill_everything(self, chance: random.Random) -> None:
        """As when the machine goes off; somebody starts it again."""
        kill_all(self.keeper)
        self.start()

    def kill_keeper(self, chance: random.Random) -> None:
        """The others are told to end, and end what they are at, while it is started again."""
        self.keeper.kill()
        self.keeper.wait()
        self.start()

    def kill_server(self, chance: random.Random) -> None:
        """The process that the others of the server are children of."""
        self._kill_one(chance, SERVER, of=self.keeper.pid)

    def kill_process(self, chance: random.Random) -> None:
        """One of those that answer."""
        self._kill_one(chance, SERVER)

    def kill_worker(self, chance: random.Random) -> None:
        self._kill_one(chance, LANE)

    KINDS = {
        "everything": kill_everything,
        "keeper": kill_keeper,
        "server": kill_server,
        "process": kill_process,
        "worker": kill_worker,
    }

    def _kill_one(self, chance: random.Random, what: str, of: int | None = None) -> None:
        """One that is running, if there is any: of a parent, or of any but the keeper."""
        found = [pid for pid in of_session(self.keeper.pid) if what in _command_of(pid)]
        if of:
            found = [pid for pid in found if _stat_of(pid)[1:2] == [of]]
        if found:
            _kill(chance.choice(found))


def of_session(leader: int) -> list[int]:
    """The processes of a session (setsid(2)) besides the one that began it: its children, theirs, and
    those whose parent is gone."""
    pids = (int(folder.name) for folder in Path("/proc").glob("[0-9]*"))
    return sorted(pid for pid in pids if pid != leader and _stat_of(pid)[3:] == [leader])


def kill_all(begun: subprocess.Popen) -> None:
    begun.kill()
    begun.wait()
    while left := of_session(begun.pid):
        for pid in left:
            _kill(pid)
        time.sleep(0.01)


def _kill(pid: int) -> None:
    with suppress(ProcessLookupError):
        os.kill(pid, signal.SIGKILL)


def _stat_of(pid: int) -> list:
    """State, parent, group and session; nothing of one that is gone, or dead and not yet waited for."""
    with suppress(OSError):
        stat = Path(f"/proc/{pid}/stat").read_text()
        state, *numbers = stat.rpartition(") ")[2].split()[:4]
        return [] if state == "Z" else [state, *map(int, numbers)]
    return []


def _command_of(pid: int) -> str:
    with suppress(OSError):
        return Path(f"/proc/{pid}/cmdline").read_bytes().replace(b"\0", b" ").decode().strip()
    return ""


def _held_kb(pid: int) -> int:
    with suppress(OSError):
        found = re.search(r"VmRSS:\s*(\d+)", Path(f"/proc/{pid}/status").read_text())
        return int(found[1]) if found else 0
    return 0
