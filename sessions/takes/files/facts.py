"""What the header of a WAV file says, and what of it is damaged. No Django here.

`python -m sessions.takes.files.facts MEMORY_BYTES CPU_SECONDS` reads many headers in a process of its
own: a line of JSON with the lengths of each, then one after the other.
"""

import json
import struct
import sys
from collections.abc import Sequence
from dataclasses import asdict, dataclass

from sessions.limited import limit_this_process
from sessions.takes.files.chunks import LONGEST_BYTES, kept_chunks, kind_of
from sessions.takes.files.notes import LARGEST, broadcast_facts, recorder_facts

EXTENSIBLE = 0xFFFE
CHUNK_HEAD_BYTES = 8  # of the sound, which no header of ours holds
PADDING_BYTES = 8  # that some writers forget after chunks of odd length
LEFT_OUT = "The {} chunk is damaged and was left out."


@dataclass(frozen=True)
class Facts:
    """Empty `kind`: no WAV file. What is not known is None; `problems` are sentences."""

    kind: str
    sample_rate: int | None = None
    bit_depth: int | None = None
    channels: int | None = None
    frames: int | None = None
    bext: dict | None = None
    ixml: dict | None = None
    problems: Sequence[str] = ()


def facts_of(content: bytes, *, size: int, sound_bytes: int | None) -> Facts:
    """Of a `chunks.Header`, and of the size of the whole file."""
    kind = kind_of(content[:12])
    if not kind:
        return Facts("")
    chunks, problems = kept_chunks(content), []
    bext = _notes(chunks, b"bext", broadcast_facts, problems)
    ixml = _notes(chunks, b"iXML", recorder_facts, problems)
    if ixml and not ixml["is_whole"]:
        problems.append("The iXML chunk is damaged: only part of it was read.")
    format = _format(chunks.get(b"fmt ", b""))
    if format is None:
        problems.append("The fmt chunk is damaged: sample rate and length are not known.")
    if sound_bytes is None:
        problems.append("The header leaves open how much sound there is.")
    elif len(content) + CHUNK_HEAD_BYTES + sound_bytes > size + PADDING_BYTES:
        problems.append(
            "The file is shorter than its header says: it was cut short, copy it again."
        )
    rate, bits, channels, frame_bytes = format or (None, None, None, None)
    frames = min(sound_bytes // frame_bytes, LARGEST) if format and sound_bytes else None
    return Facts(kind, rate, bits, channels, frames, bext, ixml, problems)


def _notes(chunks: dict[bytes, bytes], name: bytes, read, problems: list[str]) -> dict | None:
    chunk = chunks.get(name)
    if not chunk:
        return None
    found = read(chunk) if len(chunk) <= LONGEST_BYTES else None
    if found is None:
        problems.append(LEFT_OUT.format(name.decode()))
    return found


def _format(chunk: bytes) -> tuple[int, int, int, int] | None:
    """Sample rate, bits, channels and the bytes of one frame; None where they make no sense."""
    if len(chunk) < 16:
        return None
    tag, channels, rate, _, frame_bytes, bits = struct.unpack("<HHIIHH", chunk[:16])
    if tag == EXTENSIBLE and len(chunk) >= 20:
        bits = struct.unpack("<H", chunk[18:20])[0] or bits
    makes_sense = 0 < channels < 1 << 15 and 0 < rate < 1 << 31 and frame_bytes and bits <= 64
    if not makes_sense:
        return None
    return rate, bits, channels, frame_bytes


def main(memory_bytes: str, cpu_seconds: str) -> None:
    limit_this_process(memory_bytes, cpu_seconds)
    asked = json.loads(sys.stdin.buffer.readline())
    answer = []
    for length, size, sound_bytes in asked:
        content = sys.stdin.buffer.read(length)
        answer.append(asdict(facts_of(content, size=size, sound_bytes=sound_bytes)))
    json.dump(answer, sys.stdout)


if __name__ == "__main__":
    main(*sys.argv[1:])
