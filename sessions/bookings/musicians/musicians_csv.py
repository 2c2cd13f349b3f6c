"""Musicians of a session as comma-separated values, for whoever pays them."""

from collections.abc import Iterable, Iterator

from django.utils import timezone

from gear.comma_separated import as_text
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


def rows(session: RecordingSession, lines: Iterable[MusicianLine]) -> Iterator[list[str]]:
    for line in lines:
        for attendance in line.attendances or (None,):
            yield [
                as_text(session.title),
                as_text(line.person.name),
                as_text(line.name),
                as_text("; ".join(line.instruments) or line.does),
                f"{len(line.doubles)}",
                as_text("; ".join(line.songs)),
                *_times(line, attendance),
                f"{line.release.signed_on}" if line.release else "",
            ]


def _times(line: MusicianLine, attendance: Attendance | None) -> list[str]:
    if not attendance:
        return [_clock(line.called_at), *[""] * 6]
    return [
        _clock(attendance.called_at),
        _clock(attendance.came_at),
        _clock(attendance.left_at),
        attendance.breaks_in_words,
        _minutes(attendance.break_time) if attendance.came_at else "",
        _minutes(attendance.played) if attendance.left_at else "",
        as_text(attendance.note),
    ]


def _clock(at) -> str:
    """With its distance from UTC, so that it is right in an hour that comes twice."""
    return timezone.localtime(at).isoformat(timespec="minutes") if at else ""


def _minutes(time) -> str:
    return f"{round(time.total_seconds() / 60)}"
