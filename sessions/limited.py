"""Runs a module of ours in a child process with limits on memory, time and what it writes.

What reads files from outside can be made to hang, to swell or to crash; in a process of its own it
harms nobody. No Django here, so that a child starts fast.
"""

import os
import resource
import signal
import subprocess
import sys
import tempfile
from collections import deque
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from threading import Timer

ROOT = Path(__file__).resolve().parents[1]
LARGEST_ANSWER = 64 << 20  # bytes, and of any file that a child writes unless it says otherwise
LONGEST_LINE = 4096  # signs; what a child says beyond is taken for a line of its own


class ChildFailed(Exception):
    """The child crashed."""


class TookTooLong(ChildFailed):
    """It reached its limit of time."""


class TookTooMuchMemory(ChildFailed):
    """It reached its limit of memory."""


def run_limited(
    module: str,
    *arguments: str,
    memory_bytes: int,
    cpu_seconds: int,
    wall_seconds: float,
    content: Iterable[bytes] = (),
    said: Callable[[str], None] = lambda line: None,
) -> bytes:
    """What `python -m module MEMORY_BYTES CPU_SECONDS *arguments` writes, given the content to read.
    The module calls `limit_this_process` with the first two. Meanwhile `said` gets each line that
    it writes to its standard error; what `said` raises ends the child. Raises ChildFailed."""
    with tempfile.TemporaryFile() as stdin, tempfile.TemporaryFile() as stdout:
        stdin.writelines(content)
        stdin.seek(0)
        process = subprocess.Popen(
            [sys.executable, "-m", module, str(memory_bytes), str(cpu_seconds), *arguments],
            cwd=ROOT,
            env={"OPENBLAS_NUM_THREADS": "1", "PATH": os.defpath},
            stdin=stdin,
            stdout=stdout,
            stderr=subprocess.PIPE,
            text=True,
            errors="replace",
        )
        last_lines = deque(maxlen=100)
        clock = Timer(wall_seconds, process.kill)
        clock.start()
        try:
            for line in iter(partial(process.stderr.readline, LONGEST_LINE), ""):
                last_lines.append(line)
                said(line)
            process.wait()
        finally:
            clock.cancel()
            process.kill()
            process.communicate()
        failed = process.returncode or os.fstat(stdout.fileno()).st_size > LARGEST_ANSWER
        stdout.seek(0)
        written, complaint = b"" if failed else stdout.read(), "".join(last_lines)
    if process.returncode in (-signal.SIGXCPU, -signal.SIGKILL):
        raise TookTooLong
    if "MemoryError" in complaint:
        raise TookTooMuchMemory
    if failed:
        raise ChildFailed(complaint[-2000:])
    return written


def limit_this_process(
    memory_bytes: str, cpu_seconds: str, *, file_bytes: int = LARGEST_ANSWER
) -> None:
    limits = {
        resource.RLIMIT_AS: int(memory_bytes),
        resource.RLIMIT_CPU: int(cpu_seconds),
        resource.RLIMIT_FSIZE: file_bytes,
        resource.RLIMIT_CORE: 0,
    }
    for what, most in limits.items():
        _, hard = resource.getrlimit(what)
        most = most if hard == resource.RLIM_INFINITY else min(most, hard)
        resource.setrlimit(what, (most, most))
