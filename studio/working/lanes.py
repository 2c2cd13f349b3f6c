"""A process for each queue, so that nothing waits for a long file."""

import os
import signal
import subprocess
import sys
import time
from contextlib import suppress

from django.conf import settings

from sessions.tasks.models import DEFAULT, SOUND

QUEUES = (DEFAULT, SOUND)
PAUSE = 1  # seconds between two looks whether one has ended
GRACE = 60  # seconds to end what was begun; the next worker begins the rest anew
WORK = (sys.executable, settings.BASE_DIR / "manage.py", "work")


def keep_lanes(*options: str) -> None:
    """Start them, and again whenever one ends, until this process is told to end."""
    signal.signal(signal.SIGTERM, lambda *_: sys.exit())
    lanes = {}
    try:
        while True:
            for queue in QUEUES:
                if queue not in lanes or lanes[queue].poll() is not None:
                    # In a group of its own: Ctrl+C reaches this process, which tells the others once.
                    lanes[queue] = subprocess.Popen(
                        [*WORK, "--queue", queue, *options], process_group=0
                    )
            time.sleep(PAUSE)
    except KeyboardInterrupt:
        pass
    finally:
        _end(lanes.values())


def _end(lanes) -> None:
    for lane in lanes:
        lane.terminate()
    with suppress(KeyboardInterrupt, SystemExit, subprocess.TimeoutExpired):
        until = time.monotonic() + GRACE
        for lane in lanes:
            lane.wait(max(0, until - time.monotonic()))
    for lane in lanes:
        if lane.poll() is None:
            os.killpg(lane.pid, signal.SIGKILL)  # with the children that measure
