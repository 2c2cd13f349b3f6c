"""What the recorder wrote at today's session: the cornet's files are linked to their takes, the
quartet's wait for confirmation. Headers only, laid out by EBU Tech 3285 and the iXML specification."""

import struct
from datetime import datetime, timedelta

from django.utils import timezone

from sessions.takes.files.actions import Choice, add_files, link_files
from sessions.takes.files.child import FoundFile
from sessions.takes.files.waiting import waiting_of
from sessions.takes.models import Take

RATE = 48_000
AHEAD = timedelta(seconds=41)  # the recorder's clock, which nobody has set since summer
TRACKS = {"Cornet": ["Cnt LC"], "Quartet": ["Qrt SA", "Qrt TB"]}


def add_sound_files(work, session) -> None:
    files = []
    for take in session.takes.exclude(ended_at=None).prefetch_related("parts"):
        for part in take.parts.all():
            files += [_recorded(take, track) for track in TRACKS[part.name]]
    files[-1] = _with_ixml_cut_short(files[-1])
    at_lunch = session.starts_at - timedelta(hours=2)
    files.append(_file("Talkback", at_lunch, 95, ""))
    add_files(session, files, by=work.engineer)
    waiting = waiting_of(session, typed_ahead=None)
    cornet = session.take_files.filter(path__contains="Cnt LC")
    best = [match.best for match in waiting.matches(cornet)]
    choices = [
        Choice(file, each.take, each.part, waiting.reason(each))
        for file, each in zip(cornet, best, strict=True)
        if each
    ]
    link_files(choices, by=work.engineer)


def _recorded(take: Take, track: str) -> FoundFile:
    """Two seconds longer than the take at either end."""
    starts = take.started_at - timedelta(seconds=2)
    seconds = (take.ended_at - take.started_at).total_seconds() + 4
    return _file(
        track, starts, seconds, "TRUE" if take.take_parts.filter(circled=True) else "FALSE"
    )


def _file(track: str, starts: datetime, seconds: float, circled: str) -> FoundFile:
    at = timezone.localtime(starts + AHEAD)
    midnight = at.replace(hour=0, minute=0, second=0, microsecond=0)
    samples = round((at - midnight).total_seconds() * RATE)
    sound_bytes = round(seconds * RATE) * 3
    bext = struct.pack(
        "<256s32s32s10s8sQH254s",
        *(b"", b"Recorder, rope floor", b"", f"{at:%Y-%m-%d}".encode(), f"{at:%H:%M:%S}".encode()),
        *(samples, 1, b""),
    )
    ixml = (
        "<BWFXML><IXML_VERSION>3.01</IXML_VERSION><PROJECT>Ninth Tide EP</PROJECT>"
        f"<CIRCLED>{circled}</CIRCLED><TRACK_LIST><TRACK_COUNT>1</TRACK_COUNT><TRACK>"
        f"<CHANNEL_INDEX>1</CHANNEL_INDEX><NAME>{track}</NAME></TRACK></TRACK_LIST></BWFXML>"
    )
    chunks = {
        b"fmt ": struct.pack("<HHIIHH", 1, 1, RATE, RATE * 3, 3, 24),
        b"bext": bext,
        b"iXML": ixml.encode(),
    }
    header = b"RIFF\0\0\0\0WAVE" + b"".join(map(_chunk, chunks, chunks.values()))
    path = f"{at:%Y-%m-%d}/{track} {at:%H-%M-%S}.wav"
    return FoundFile(path, len(header) + 8 + sound_bytes, header, sound_bytes)


def _chunk(name: bytes, content: bytes) -> bytes:
    return name + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)


def _with_ixml_cut_short(file: FoundFile) -> FoundFile:
    return FoundFile(file.path, file.size, file.header[:-60], file.sound_bytes)
