"""MPEG audio: the number of frames that the first frame may state."""

from typing import BinaryIO

SEARCHED_BYTES = 1 << 16
FRAME_COUNT_FLAG = 1


def stated_frames(file: BinaryIO) -> int | None:
    """MPEG frames that a Xing, Info or VBRI header promises; None where there is no such header.

    The layouts are those that encoders write; there is no published standard for them.
    """
    file.seek(_length_of_id3(file))
    head = file.read(SEARCHED_BYTES)
    sync = _first_sync(head)
    if sync is None:
        return None
    first = head[sync : sync + 256]
    tag = 4 + _side_information_bytes(first)
    if first[tag : tag + 4] in (b"Xing", b"Info") and first[tag + 7] & FRAME_COUNT_FLAG:
        return int.from_bytes(first[tag + 8 : tag + 12], "big")
    if first[36:40] == b"VBRI":
        return int.from_bytes(first[50:54], "big")
    return None


def _length_of_id3(file: BinaryIO) -> int:
    """Bytes of the tag in front; its length has seven bits a byte (ID3v2.4, section 3.1)."""
    file.seek(0)
    head = file.read(10)
    if head[:3] != b"ID3" or len(head) < 10:
        return 0
    return 10 + sum(
        (byte & 0x7F) << shift for byte, shift in zip(head[6:], (21, 14, 7, 0), strict=True)
    )


def _first_sync(head: bytes) -> int | None:
    position = head.find(b"\xff")
    while 0 <= position < len(head) - 256:
        layer_three = head[position + 1] & 0xE6 == 0xE2
        if layer_three and head[position + 2] >> 4 not in (0, 15):
            return position
        position = head.find(b"\xff", position + 1)
    return None


def _side_information_bytes(frame: bytes) -> int:
    """Bytes between the frame header and its data (ISO/IEC 11172-3, section 2.4.1.7)."""
    version_one, mono = frame[1] & 0x08, frame[3] >> 6 == 3
    if version_one:
        return 17 if mono else 32
    return 9 if mono else 17
