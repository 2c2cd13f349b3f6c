"""The last move of whoever is signed in, for as long as it can be undone: kept in their web session."""

from dataclasses import asdict, dataclass
from datetime import datetime

from django.http import HttpRequest
from django.utils import timezone

from sessions.bookings.moves.actions import Moved
from sessions.letters.models import Letter

KEY = "moved"


@dataclass(frozen=True)
class ToUndo:
    """What was done, in words, and who is written to of it. Without a worker their letters do not
    wait for the minute to be over."""

    move: Moved
    words: str
    readers: list[str]
    waits: bool

    @property
    def until(self) -> datetime:
        return self.move.undo_until


def keep(request: HttpRequest, move: Moved, *, words: str, letters: list[Letter]) -> None:
    request.session[KEY] = {
        "move": asdict(move),
        "words": words,
        "readers": [each.reader for each in letters],
        "waits": any(each.not_before for each in letters),
    }


def still_to_undo(request: HttpRequest) -> ToUndo | None:
    """None once the minute is over; what is kept stays until the next move."""
    kept = request.session.get(KEY)
    if not kept:
        return None
    found = ToUndo(**kept | {"move": Moved(**kept["move"])})
    return found if timezone.now() < found.until else None


def forget(request: HttpRequest) -> None:
    request.session.pop(KEY, None)
