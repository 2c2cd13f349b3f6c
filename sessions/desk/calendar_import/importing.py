"""Events of somebody’s calendar become sessions and blocks: all of them, or none."""

from collections.abc import Mapping
from dataclasses import dataclass

from gear.acting import action
from sessions.bookings.actions import book_session, check_not_over
from sessions.bookings.blocks.actions import make_block
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import BlockKind, Status
from sessions.bookings.padding import Padding
from sessions.bookings.telling import telling
from sessions.bookings.telling.choices import NONE, TELL_NOBODY
from sessions.bookings.telling.scope import drafts_of
from sessions.clients.models import Project
from sessions.periods import Period
from sessions.rooms.models import Room


@dataclass(frozen=True)
class Wanted:
    """A session of a project, or without a status a block."""

    title: str
    period: Period
    rooms: tuple[Room, ...]
    project: Project | None
    status: Status | None


class EventsRefused(Exception):
    """Some cannot be booked; `reasons` are sentences, by the number of the event."""

    def __init__(self, reasons: Mapping[int, list[str]]):
        self.reasons = reasons
        super().__init__(f"{len(reasons)} events cannot be imported.")


@action
def import_events(wanted: Mapping[int, Wanted], *, tell: bool = False, by) -> int:
    """Book what the events want, by their numbers; how many that were. Nobody is told of it unless
    `tell`. Raises EventsRefused."""
    with telling(by=by, choices=NONE if tell else TELL_NOBODY):
        if reasons := _make(wanted, by):
            raise EventsRefused(reasons)
    return len(wanted)


def try_import(wanted: Mapping[int, Wanted], *, by) -> tuple[dict[int, list[str]], int]:
    """What would be in the way of each, once those before it are booked, and how many letters would
    tell of them. Nothing is booked."""
    reasons = {}
    letters = drafts_of(lambda: reasons.update(_make(wanted, by)), by=by)
    return reasons, len(letters)


def _make(wanted: Mapping[int, Wanted], by) -> dict[int, list[str]]:
    reasons = {}
    for number, each in wanted.items():
        try:
            _book(each, by)
        except BookingRefused as refusal:
            reasons[number] = refusal.messages
    return reasons


def _book(wanted: Wanted, by) -> None:
    """The calendar’s times are all that is taken: what it says of load-in stands in it already. Hours
    that are outside those of the house were agreed long ago."""
    starts_at, ends_at = wanted.period
    period = {"starts_at": starts_at, "ends_at": ends_at}
    if wanted.status is None:
        make_block(**period, rooms=wanted.rooms, title=wanted.title, kind=BlockKind.HOUSE, by=by)
        return
    check_not_over(wanted.status, ends_at)
    book_session(
        wanted.project,
        **period,
        title=wanted.title,
        status=wanted.status,
        rooms=wanted.rooms,
        padding=dict.fromkeys(wanted.rooms, Padding()),
        all_the_same=True,
        by=by,
    )
