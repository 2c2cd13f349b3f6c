"""WAV and AIFF files: chunks with an id and a length, inside one outer chunk."""

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

from .measurement import Reason, UnmeasurableFile

# A writer that can't go back to its header leaves one of these.
UNSTATED = (0, 0xFFFFFFFF)

MAX_CHUNKS = 4096
MAX_FACTS_BYTES = 1 << 20

PCM, FLOAT, EXTENSIBLE = 1, 3, 0xFFFE
UNCOMPRESSED_AIFC = {b"NONE", b"sowt", b"twos", b"raw ", b"in24", b"in32", b"fl32", b"FL32",
                     b"fl64", b"FL64"}  # fmt: skip


@dataclass(frozen=True)
class Header:
    """What a file says of itself. `kind` is the container ("" when it is none of these). Counts
    that aren't stated are None.

    `frames` is the number of sample frames, `mpeg_frames` of MPEG audio frames.
    """

    kind: str = ""
    frames: int | None = None
    mpeg_frames: int | None = None
    bext: bytes | None = None
    ixml: bytes | None = None
    length_unstated: bool = False


@dataclass(frozen=True)
class Chunk:
    id: bytes
    start: int
    length: int

    @property
    def end(self) -> int:
        return self.start + self.length

    def read(self, file: BinaryIO) -> bytes:
        file.seek(self.start)
        return file.read(min(self.length, MAX_FACTS_BYTES))


def read_wave(file: BinaryIO, size: int) -> Header:
    """A RIFF, RF64 or BW64 file (EBU Tech 3306, ITU-R BS.2088 for the latter two)."""
    kind = {b"RIFF": "wav", b"RF64": "rf64", b"BW64": "bw64"}[_at(file, 0, 4)]
    outer, long_data = struct.unpack("<I", _at(file, 4, 4))[0], None
    if kind != "wav":
        if _at(file, 12, 4) != b"ds64":
            raise _wrong(f"An {kind.upper()} file begins with a ds64 chunk; this one has none.")
        long_outer, long_data = struct.unpack("<QQ", _at(file, 20, 16))
        outer = long_outer if outer == 0xFFFFFFFF else outer
    form = _Form(file, size, "<", b"data", outer=outer, long_data=long_data)
    return _wave_facts(file, form, kind)


def _wave_facts(file: BinaryIO, form: "_Form", kind: str) -> Header:
    frames = None
    if (fmt := form.find(b"fmt ")) and fmt.length >= 16:
        tag, channels, rate, _, _, bits = struct.unpack("<HHIIHH", fmt.read(file)[:16])
        _refuse_nothing(channels, rate)
        if tag == EXTENSIBLE and fmt.length >= 26:
            tag = struct.unpack("<H", fmt.read(file)[24:26])[0]
        if tag in (PCM, FLOAT) and form.sound_bytes is not None and bits:
            frames = form.sound_bytes // (channels * ((bits + 7) // 8))
    bext, ixml = form.find(b"bext"), form.find(b"iXML")
    return Header(
        kind,
        frames,
        bext=bext and bext.read(file),
        ixml=ixml and ixml.read(file),
        length_unstated=form.sound_bytes is None,
    )


def read_aiff(file: BinaryIO, size: int) -> Header:
    """An AIFF or AIFF-C file."""
    outer = struct.unpack(">I", _at(file, 4, 4))[0]
    form = _Form(file, size, ">", b"SSND", outer=outer)
    common, frames = form.find(b"COMM"), None
    if common and common.length >= 18:
        content = common.read(file)
        channels, frames, bits = struct.unpack(">HIH", content[:8])
        _refuse_nothing(channels, int.from_bytes(content[10:18], "big"))
        if content[18:22] and content[18:22] not in UNCOMPRESSED_AIFC:
            frames = None
        elif form.sound_bytes is not None:
            there = max(0, form.sound_bytes - 8) // (channels * max(1, (bits + 7) // 8))
            if frames != there:
                raise _wrong(
                    f"The header promises {frames} samples, but the sound has {there}: "
                    "export it again."
                )
    return Header("aiff", frames or None, length_unstated=form.sound_bytes is None)


class _Form:
    """The chunks of a file, once its lengths have been found true.

    `sound_bytes` is None when the header leaves the length of the sound open: then the sound goes
    on to the end of the file.
    """

    def __init__(self, file, size, order, sound_id, *, outer, long_data=None):
        self._file, self._size, self._order, self._sound_id = file, size, order, sound_id
        self._long_data = long_data
        self._outer_end = None if outer in UNSTATED else outer + 8
        self.sound_bytes = None
        self._chunks = []
        self._boundaries = {size}
        for chunk in self._walk():
            self._chunks.append(chunk)
            self._boundaries |= {chunk.end, chunk.end + chunk.length % 2}
            if len(self._chunks) > MAX_CHUNKS:
                raise _wrong("The file is split into thousands of pieces: export it again.")
        self._check_sound()
        self._check_outer_length()

    def find(self, name: bytes) -> Chunk | None:
        return next((chunk for chunk in self._chunks if chunk.id == name), None)

    def _walk(self) -> Iterator[Chunk]:
        position = 12
        while position < self._size:
            chunk = self._chunk_at(position) or self._chunk_at(position - 1)
            if chunk is None:
                self._check_remainder(position)
                return
            if chunk.id == self._sound_id and self._is_open(chunk):
                yield Chunk(chunk.id, chunk.start, self._size - chunk.start)
                return
            self._check_inside(chunk)
            if chunk.id == self._sound_id:
                self.sound_bytes = chunk.length
            yield chunk
            position = chunk.end + chunk.length % 2

    def _chunk_at(self, position: int) -> Chunk | None:
        """A chunk there, if its id is printable. (Some writers forget the byte that pads an odd
        length, so the byte before is worth a look.)"""
        head = _at(self._file, position, 8)
        if len(head) < 8 or not all(32 <= byte < 127 for byte in head[:4]):
            return None
        length = struct.unpack(self._order + "I", head[4:])[0]
        if head[:4] == self._sound_id and length == 0xFFFFFFFF and self._long_data:
            length = self._long_data
        return Chunk(head[:4], position + 8, length)

    def _is_open(self, chunk: Chunk) -> bool:
        if chunk.length == 0:
            return self._outer_end is None or self._outer_end < self._size - 1
        return chunk.length in UNSTATED

    def _check_inside(self, chunk: Chunk) -> None:
        if chunk.end <= self._size:
            return
        if self._outer_end is not None and self._outer_end <= self._size:
            raise _wrong("The header promises more sound than the file can hold: export it again.")
        if chunk.id == self._sound_id:
            there = max(0, self._size - chunk.start)
            raise _cut(f"Only {there} of the {chunk.length} bytes of sound are there")
        raise _cut("The file ends in the middle of its header or its notes")

    def _check_remainder(self, position: int) -> None:
        """Zeros that fill a block and a music tag may follow the chunks; anything else may not."""
        self._file.seek(position)
        rest = self._file.read(MAX_FACTS_BYTES)
        if any(rest) and not rest.startswith((b"TAG", b"ID3", b"APETAGEX")):
            raise _wrong(
                f"After the sound come {self._size - position} bytes that the header does not "
                "account for: export it again."
            )

    def _check_sound(self) -> None:
        sound = self.find(self._sound_id)
        if sound is None:
            raise _cut("The file ends before its sound begins")
        if sound.length == 0:
            raise UnmeasurableFile(
                Reason.EMPTY, "The file has a header but no sound: export it again."
            )

    def _check_outer_length(self) -> None:
        if self._outer_end is None or self.sound_bytes is None:
            return
        if self._outer_end > self._size + 1:
            raise _cut("The sound is there, but the file is shorter than its header says")
        if self._outer_end not in self._boundaries | {self._size + 1}:
            raise _wrong("The length in the first line of the header is wrong: export it again.")
        if self._outer_end < self.find(self._sound_id).end:
            raise _wrong("The header says that the file ends before its sound: export it again.")


def _at(file: BinaryIO, position: int, length: int) -> bytes:
    file.seek(position)
    return file.read(length)


def _refuse_nothing(channels: int, rate: int) -> None:
    if not channels or not rate:
        missing = "no channels" if not channels else "a sample rate of zero"
        raise UnmeasurableFile(
            Reason.IMPOSSIBLE_FORMAT, f"The header states {missing}: export the file again."
        )


def _wrong(message: str) -> UnmeasurableFile:
    return UnmeasurableFile(Reason.WRONG_LENGTH, message)


def _cut(found: str) -> UnmeasurableFile:
    return UnmeasurableFile(Reason.CUT_SHORT, f"{found}: the file was cut short, copy it again.")
