"""What a file's own header says about its length, against what is there.

A decoder reads as far as it gets and keeps quiet about the rest, so the promises are read here.
"""

from pathlib import Path

from . import chunked, mpeg
from .chunked import Header
from .measurement import Reason, UnmeasurableFile

#: Of how many boxes or chunks the lengths are looked at, each a read of its own; the decoder meets the rest.
MOST_BOXES = 10_000


def read_header(path: Path) -> Header:
    """Reads the header of `path`; refuses a file that is not as long as it says."""
    size = path.stat().st_size
    if size == 0:
        raise UnmeasurableFile(Reason.EMPTY, "The file is empty: export or copy it again.")
    with path.open("rb") as file:
        magic = file.read(12)
        if magic[:4] in (b"RIFF", b"RF64", b"BW64") and magic[8:] == b"WAVE":
            return chunked.read_wave(file, size)
        if magic[:4] == b"FORM" and magic[8:] in (b"AIFF", b"AIFC"):
            return chunked.read_aiff(file, size)
        if magic[:4] == b"fLaC":
            return Header(kind="flac")
        if magic[:4] == b"OggS":
            _refuse_ogg_without_end(file, size)
            return Header(kind="ogg")
        if magic[4:8] == b"ftyp":
            _refuse_cut_boxes(file, size)
            return Header(kind="mp4")
        if magic[:4] == b"caff":
            _refuse_cut_caf(file, size)
            return Header(kind="caf")
        return Header(mpeg_frames=mpeg.stated_frames(file))


def _refuse_ogg_without_end(file, size: int) -> None:
    """The last page of a stream carries the end mark, and is whole (RFC 3533, section 6)."""
    longest_page = 27 + 255 + 255 * 255
    file.seek(max(0, size - longest_page))
    tail = file.read()
    page = tail[tail.rfind(b"OggS") :]
    segments = page[26] if len(page) > 26 else 0
    body = 27 + segments
    if len(page) < 27 or len(page) < body + sum(page[27:body]) or not page[5] & 4:
        raise cut_short()


def _refuse_cut_boxes(file, size: int) -> None:
    """The outermost boxes fill the file exactly (ISO/IEC 14496-12, section 4.2)."""
    position = 0
    for _ in range(MOST_BOXES):
        if position >= size:
            return
        file.seek(position)
        head = file.read(16)
        length = int.from_bytes(head[:4], "big")
        if length == 1:
            length = int.from_bytes(head[8:16], "big")
        if length == 0:
            return
        if length < 8 or position + length > size:
            raise cut_short()
        position += length


def _refuse_cut_caf(file, size: int) -> None:
    """Chunks of a Core Audio Format file; the sound may leave its length open with -1."""
    position = 8
    for _ in range(MOST_BOXES):
        if position >= size:
            return
        file.seek(position + 4)
        length = int.from_bytes(file.read(8), "big", signed=True)
        if length == -1:
            return
        position += 12 + length
        if length < 0 or position > size:
            raise cut_short()


def cut_short() -> UnmeasurableFile:
    return UnmeasurableFile(
        Reason.CUT_SHORT, "The file ends before its sound does: export or copy it again."
    )
