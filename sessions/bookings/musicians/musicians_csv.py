"""Musicians of a session as comma-separated values, for whoever pays them."""

from collections.abc import Iterable, Iterator
from datetime import timedelta

from sessions.bookings.models import Attendance, RecordingSession
from sessions.bookings.musicians.lines import MusicianLine

HEAD = [
    *(
        "session",
        "musician",
        "credited as",
        "plays",
        "doubles",
        "songs and parts",
        "call",
        "in",
        "out",
    ),
    *("breaks", "break minutes", "minutes played", "note", "release signed on"),
]


def rows(session: RecordingSession, lines: Iterable[MusicianLine]) -> Iterator[list]:
    for line in lines:
        for attendance in line.attendances or (None,):
            yield [
                session.title,
                line.person.name,
                line.name,
                "; ".join(line.instruments) or line.does,
                len(line.doubles),
                "; ".join(line.songs),
                *_times(line, attendance),
                line.release.signed_on if line.release else None,
            ]


def _times(line: MusicianLine, attendance: Attendance | None) -> list:
    if not attendance:
        return [line.called_at, *[None] * 6]
    return [
        attendance.called_at,
        attendance.came_at,
        attendance.left_at,
        attendance.breaks_in_words,
        _minutes(attendance.break_time) if attendance.came_at else None,
        _minutes(attendance.played) if attendance.left_at else None,
        attendance.note,
    ]


def _minutes(time: timedelta) -> int:
    return round(time.total_seconds() / 60)
