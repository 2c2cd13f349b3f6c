"""The list of letters as comma-separated values, a line at a time."""

from collections.abc import Callable, Iterator
from datetime import datetime

from django.db.models import QuerySet
from django.utils import timezone

from gear.comma_separated import as_text
from sessions.letters.models import Letter

AT_ONCE = 500  # letters in memory, however long the list


def csv_rows(letters: QuerySet[Letter]) -> Iterator[list[str]]:
    """The cells of each letter. A few queries for each `AT_ONCE` of them."""
    for letter in letters.iterator(chunk_size=AT_ONCE):
        yield [as_text(read(letter)) for read in COLUMNS.values()]


def _instant(at: datetime | None) -> str:
    """ISO 8601 with the offset of the studio's clock: 2026-06-01T11:00+01:00."""
    return timezone.localtime(at).isoformat(timespec="minutes") if at else ""


COLUMNS: dict[str, Callable[[Letter], str]] = {
    "written": lambda letter: _instant(letter.written_at),
    "by": lambda letter: str(letter.written_by or ""),
    "to": lambda letter: letter.to,
    "reader": lambda letter: str(letter.person or letter.client or ""),
    "subject": lambda letter: letter.subject,
    "about": lambda letter: "; ".join(str(topic.about) for topic in letter.topics.all()),
    "state": lambda letter: letter.get_state_display().lower(),
    "sent": lambda letter: _instant(letter.sent_at),
    "why not": lambda letter: letter.error,
    "told otherwise": lambda letter: letter.told_how,
    "message id": lambda letter: str(letter.message_id),
}
