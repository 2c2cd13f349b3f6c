"""Reads a recall that another studio wrote in a process of its own, which may fail without harm."""

import json

from django.core.files import File

from sessions.limited import ChildFailed, run_limited
from sessions.recall.imported.sense import NotARecall

MEMORY_BYTES = 512 * 2**20
CPU_SECONDS = 3  # `reading.SECONDS` ends it before
WALL_SECONDS = 10


def read_in_child(file: File) -> dict:
    """The checked data of a PDF or JSON file. Raises NotARecall."""
    try:
        written = run_limited(
            "sessions.recall.imported.reading",
            memory_bytes=MEMORY_BYTES,
            cpu_seconds=CPU_SECONDS,
            wall_seconds=WALL_SECONDS,
            content=file.chunks(),
        )
    except ChildFailed as problem:
        raise NotARecall(
            "Reading this file takes more time or memory than a recall sheet’s does: it is "
            "damaged, or was made to do so. Ask for it again."
        ) from problem
    answer = json.loads(written)
    if "refusal" in answer:
        raise NotARecall(answer["refusal"])
    return answer["recall"]
