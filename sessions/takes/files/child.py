"""Reads the headers of many files in a process of its own, which may fail without harm."""

import json
import time
from collections.abc import Sequence
from dataclasses import dataclass

from sessions.limited import ChildFailed, run_limited
from sessions.takes.files.facts import Facts

MEMORY_BYTES = 1 << 29
CPU_SECONDS = 20
WALL_SECONDS = 60  # also of all that is looked for by halves
STOPS_ITS_READER = Facts("wav", problems=("The file’s header stops its reader: it is damaged.",))
NOT_REACHED = Facts(
    "wav", problems=("Damaged files beside it took all the time: add this one again by itself.",)
)


@dataclass(frozen=True)
class FoundFile:
    """A file that somebody showed us: where it was, its `chunks.Header`, and the SHA-256 of all of it
    where all of it was read.

    What a browser says of its size and its sound is only said.
    """

    path: str
    size: int
    header: bytes
    sound_bytes: int | None
    sha256: str = ""


def facts_of_each(files: Sequence[FoundFile]) -> list[Facts]:
    """In their order. A file that stops the reader is found by halves, and costs the others nothing,
    unless so many do that there is no time left."""
    return _facts_of_each(files, time.monotonic() + WALL_SECONDS)


def _facts_of_each(files: Sequence[FoundFile], until: float) -> list[Facts]:
    if not files or time.monotonic() > until:
        return [NOT_REACHED] * len(files)
    asked = [(len(file.header), file.size, file.sound_bytes) for file in files]
    try:
        answer = run_limited(
            "sessions.takes.files.facts",
            memory_bytes=MEMORY_BYTES,
            cpu_seconds=CPU_SECONDS,
            wall_seconds=WALL_SECONDS,
            content=[json.dumps(asked).encode() + b"\n", *(file.header for file in files)],
        )
    except ChildFailed:
        if len(files) == 1:
            return [STOPS_ITS_READER]
        half = len(files) // 2
        return _facts_of_each(files[:half], until) + _facts_of_each(files[half:], until)
    return [Facts(**facts) for facts in json.loads(answer)]
