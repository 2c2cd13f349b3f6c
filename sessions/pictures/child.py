"""Decodes a picture in a process of its own, which may fail without harm."""

import json
from dataclasses import dataclass
from hashlib import sha256

from django.core.files import File

from sessions.limited import ChildFailed, run_limited
from sessions.pictures.decoding import NotAPicture

MEMORY_BYTES = 1 << 30
CPU_SECONDS = 20
WALL_SECONDS = 60


@dataclass(frozen=True)
class Picture:
    """A JPEG or PNG that holds nothing but the picture."""

    content: bytes
    width: int
    height: int

    @property
    def sha256(self) -> str:
        return sha256(self.content).hexdigest()


def picture_in_child(file: File, *, taken_as: str) -> Picture:
    """The file as a "photo" or "logo" of ours. Raises NotAPicture."""
    try:
        written = run_limited(
            "sessions.pictures.decoding",
            taken_as,
            memory_bytes=MEMORY_BYTES,
            cpu_seconds=CPU_SECONDS,
            wall_seconds=WALL_SECONDS,
            content=file.chunks(),
        )
    except ChildFailed as problem:
        raise NotAPicture(
            "Reading this picture takes more time or memory than a picture’s does: it is "
            "damaged, or far too large. Take it again, or make it smaller."
        ) from problem
    line, _, content = written.partition(b"\n")
    answer = json.loads(line)
    if "refusal" in answer:
        raise NotAPicture(answer["refusal"])
    return Picture(content, answer["width"], answer["height"])
