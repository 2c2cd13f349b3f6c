"""The chunks of a WAV file other than its sound, however damaged the rest is. No Django here.

RIFF, and RF64 or BW64 for what is longer than 4 GiB (EBU Tech 3306, ITU-R BS.2088).
`file_drop.js` does the same in the browser, so that nobody uploads sound for its header.
"""

import struct
from collections.abc import Iterator
from typing import BinaryIO, NamedTuple

KINDS = {b"RIFF": "wav", b"RF64": "rf64", b"BW64": "bw64"}
KEPT = (b"ds64", b"fmt ", b"bext", b"iXML")
LONGEST_BYTES = 1 << 20  # of one chunk that is kept
MOST_CHUNKS = 4096
UNSTATED = 0xFFFFFFFF  # in RF64: look into ds64; else the writer never came back to its header


class Header(NamedTuple):
    """The kept chunks one after the other behind the twelve bytes that every WAV file begins with;
    and how many bytes of sound the file says it has, None where it leaves that open."""

    content: bytes
    sound_bytes: int | None


def kind_of(start: bytes) -> str:
    """`wav`, `rf64`, `bw64`; empty for what is no WAV file."""
    return KINDS.get(start[:4], "") if start[8:12] == b"WAVE" else ""


def read_header(file: BinaryIO, size: int) -> Header:
    """Without the sound, wherever in the file that stands. Empty content: no WAV file."""
    start = _at(file, 0, 12)
    if not kind_of(start):
        return Header(b"", None)
    kept, sound_bytes, seen = [start], None, set()
    for name, begins, length in _walk(file, size):
        if name == b"data" and b"data" not in seen:
            sound_bytes = None if length == UNSTATED else length
        elif name in KEPT and name not in seen:
            content = _at(file, begins, min(length, LONGEST_BYTES + 1))
            kept.append(name + struct.pack("<I", length) + content + b"\0" * (len(content) % 2))
        seen.add(name)
    return Header(b"".join(kept), sound_bytes)


def kept_chunks(content: bytes) -> dict[bytes, bytes]:
    """Those of a `Header`, by their names. One that is cut short ends with what is there."""
    chunks, position = {}, 12
    while len(head := content[position : position + 8]) == 8:
        name, length = head[:4], struct.unpack("<I", head[4:])[0]
        stated = min(length, LONGEST_BYTES + 1)
        chunks.setdefault(name, content[position + 8 : position + 8 + stated])
        position += 8 + stated + stated % 2
    return chunks


def _walk(file: BinaryIO, size: int) -> Iterator[tuple[bytes, int, int]]:
    """Name, start and length of each chunk, until one has no name that can be read."""
    position, long_data = 12, None
    for _ in range(MOST_CHUNKS):
        if position >= size:  # also where a damaged length leads further than a file can be
            return
        head = _head(file, position) or _head(file, position - 1)  # some forget to pad odd lengths
        if head is None:
            return
        name, begins, length = head
        if name == b"ds64":
            long_data = int.from_bytes(_at(file, begins + 8, 8), "little")
        if name == b"data" and length == UNSTATED and long_data:
            length = long_data
        yield name, begins, length
        position = begins + length + length % 2


def _head(file: BinaryIO, position: int) -> tuple[bytes, int, int] | None:
    head = _at(file, position, 8)
    if len(head) < 8 or not all(32 <= byte < 127 for byte in head[:4]):
        return None
    return head[:4], position + 8, struct.unpack("<I", head[4:])[0]


def _at(file: BinaryIO, position: int, length: int) -> bytes:
    file.seek(position)
    return file.read(length)
