"""Files that are small and want to be large, or are short and want to take for ever.

Kinds of bomb as OWASP's File Upload, XML Security and Denial of Service cheat sheets name them: packed
data, entities, depth, repeats, numbers of parts.
"""

import struct
import zlib

from tests.sessions.recall.imported.bombs import packed
from tests.sessions.takes.files.written import bext, wav
from tests.signals import chunk


def png(*chunks: tuple[bytes, bytes], side: int = 8) -> bytes:
    """One of a grey square, with chunks of ours before its pixels (PNG, third edition, 5.3)."""
    head = struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0)
    pixels = zlib.compress(bytes(side * (side + 1)))
    said = [(b"IHDR", head), *chunks, (b"IDAT", pixels), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(content))
        + name
        + content
        + struct.pack(">I", zlib.crc32(name + content))
        for name, content in said
    )


def png_of_text(megabytes: int) -> bytes:
    return png((b"zTXt", b"Comment\0\0" + packed(megabytes)))


def png_of_profile(megabytes: int) -> bytes:
    return png((b"iCCP", b"colours\0\0" + packed(megabytes)))


def wav_of_entities() -> bytes:
    """A billion laughs in an iXML chunk."""
    entities = '<!ENTITY e0 "ha">' + "".join(
        f'<!ENTITY e{each} "{f"&e{each - 1};" * 10}">' for each in range(1, 10)
    )
    text = f"<!DOCTYPE BWFXML [{entities}]><BWFXML><TAKE>7</TAKE><NOTE>&e9;</NOTE></BWFXML>"
    return wav(chunk(b"iXML", text.encode()))


def wav_of_depth() -> bytes:
    return wav(chunk(b"iXML", b"<BWFXML>" + b"<NOTE>" * 100_000))


def wav_of_history() -> bytes:
    return wav(bext(history="A=PCM,F=48000\r\n" * 60_000))


def boxes(count: int) -> bytes:
    """An MP4 file of empty boxes (ISO/IEC 14496-12, 4.2)."""
    return b"\0\0\0\x08ftyp" + b"\0\0\0\x08free" * count


def core_audio_chunks(count: int) -> bytes:
    """A Core Audio Format file of empty chunks."""
    return b"caff\0\1\0\0" + (b"free" + bytes(8)) * count


def tag_of_music(kilobytes: int) -> bytes:
    """A tag that says it is of 256 MB, before what is no sound (ID3v2.4, 3.1)."""
    return b"ID3\x04\0\0\x7f\x7f\x7f\x7f" + bytes(kilobytes << 10)


def calendar(*lines: str) -> bytes:
    said = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//bombs//", *lines, "END:VCALENDAR", ""]
    return "\r\n".join(said).encode()


def event(*lines: str) -> list[str]:
    return ["BEGIN:VEVENT", "UID:a", "DTSTAMP:20260601T100000Z", *lines, "END:VEVENT"]


def calendar_of_depth() -> bytes:
    return calendar(*["BEGIN:VEVENT"] * 5_000, *["END:VEVENT"] * 5_000)


def calendar_of_repeats() -> bytes:
    """Each second for ever, many times over."""
    rule = ["DTSTART:20000101T100000Z", "DURATION:PT1H", "RRULE:FREQ=SECONDLY"]
    return calendar(*(line for _ in range(200) for line in event(*rule)))
