"""WAV headers written from the published layouts, for our readers to read back.

`bext`: EBU Tech 3285 version 2, table of section 2.3. iXML: the open specification of that name, its
object details, with the worked values of its second example (48 048 000 samples after midnight at
48 kHz). RF64 and `ds64`: EBU Tech 3306, section 2.
"""

import random
import struct
from io import BytesIO
from xml.sax.saxutils import escape

from sessions.takes.files.chunks import read_header
from sessions.takes.files.facts import Facts, facts_of
from tests.signals import chunk

FRAMES = 480


def bext(
    *,
    description: str = "",
    originator: str = "",
    reference: str = "",
    date: str = "",
    time: str = "",
    samples: int = 0,
    loudness: tuple[int, ...] = (0, 0, 0, 0, 0),
    history: str = "",
) -> bytes:
    content = b"".join(
        [
            description.encode("ascii").ljust(256, b"\0"),
            originator.encode("ascii").ljust(32, b"\0"),
            reference.encode("ascii").ljust(32, b"\0"),
            date.encode("ascii").ljust(10, b"\0"),
            time.encode("ascii").ljust(8, b"\0"),
            struct.pack("<II", samples & 0xFFFFFFFF, samples >> 32),
            struct.pack("<H", 2),
            bytes(64),  # UMID
            struct.pack("<5h", *loudness),
            bytes(180),  # reserved
            history.encode("ascii"),
        ]
    )
    assert len(content) == 602 + len(history)
    return chunk(b"bext", content)


def ixml(
    tracks: tuple[str, ...] = (), stamp: tuple[int, int] | None = None, **elements: str
) -> bytes:
    """`stamp` is samples since midnight and their rate; `elements` stand at the top, BWF_… in BEXT."""
    top = {name: text for name, text in elements.items() if not name.startswith("BWF_")}
    copied = {name: text for name, text in elements.items() if name.startswith("BWF_")}
    parts = ["<IXML_VERSION>3.01</IXML_VERSION>", _elements(top)]
    if stamp:
        samples, rate = stamp
        speed = {
            "TIMECODE_RATE": "24000/1001",
            "TIMECODE_FLAG": "NDF",
            "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI": str(samples >> 32),
            "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO": str(samples & 0xFFFFFFFF),
            "TIMESTAMP_SAMPLE_RATE": str(rate),
        }
        parts.append(f"<SPEED>{_elements(speed)}</SPEED>")
    if tracks:
        listed = "".join(
            f"<TRACK><CHANNEL_INDEX>{number}</CHANNEL_INDEX>"
            f"<INTERLEAVE_INDEX>{number}</INTERLEAVE_INDEX><NAME>{escape(name)}</NAME></TRACK>"
            for number, name in enumerate(tracks, 1)
        )
        count = f"<TRACK_COUNT>{len(tracks)}</TRACK_COUNT>"
        parts.append(f"<TRACK_LIST>{count}{listed}</TRACK_LIST>")
    if copied:
        parts.append(f"<BEXT>{_elements(copied)}</BEXT>")
    text = f'<?xml version="1.0" encoding="UTF-8"?><BWFXML>{"".join(parts)}</BWFXML>'
    return chunk(b"iXML", text.encode())


def _elements(named: dict[str, str]) -> str:
    return "".join(f"<{name}>{escape(text)}</{name}>" for name, text in named.items())


def fmt(rate: int = 48_000, bits: int = 24, channels: int = 1) -> bytes:
    frame = channels * bits // 8
    return chunk(b"fmt ", struct.pack("<HHIIHH", 1, channels, rate, rate * frame, frame, bits))


def wav(
    *notes: bytes, form: bytes | None = None, frames: int = FRAMES, after: bytes = b""
) -> bytes:
    """A whole file; `notes` stand before the sound, which is 24 bits of one channel, `after` behind."""
    sound = chunk(b"data", bytes(frames * 3))
    inner = b"WAVE" + (fmt() if form is None else form) + b"".join(notes) + sound + after
    return b"RIFF" + struct.pack("<I", len(inner)) + inner


def rf64(*notes: bytes, kind: bytes = b"RF64", frames: int = FRAMES, after: bytes = b"") -> bytes:
    """The 32-bit sizes say: look into ds64."""
    sound = bytes(frames * 3)
    sizes = struct.pack("<QQQI", 0, len(sound), frames, 0)
    inner = chunk(b"ds64", sizes) + fmt() + b"".join(notes)
    return kind + b"\xff" * 4 + b"WAVE" + inner + b"data" + b"\xff" * 4 + sound + after


def read(content: bytes) -> Facts:
    """As a file of the server is read, without the child."""
    header = read_header(BytesIO(content), len(content))
    return facts_of(header.content, size=len(content), sound_bytes=header.sound_bytes)


def damaged(content: bytes, chance: random.Random) -> bytes:
    """Cut at random or not, a piece doubled or not, up to fifty bytes changed."""
    broken = bytearray(content)
    if chance.random() < 0.4:
        broken = broken[: chance.randrange(1, len(broken))]
    if chance.random() < 0.2:
        start = chance.randrange(len(broken))
        broken[start:start] = broken[start : start + 40] * chance.choice((1, 30))
    for _ in range(chance.choice((0, 1, 3, 10, 50))):
        broken[chance.randrange(len(broken))] = chance.choice((0, 0xFF, chance.randrange(256)))
    return bytes(broken)
