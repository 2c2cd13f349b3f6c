"""The line for a room, a person or a unit: who stands behind whom, and who moves up."""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import Model, QuerySet

from sessions.bookings.models import RecordingSession, Reservation


def end_of_line(
    resources: Iterable[Model],
    starts_at: datetime,
    ends_at: datetime,
    *,
    ignoring: RecordingSession | None = None,
) -> dict[Model, int]:
    """For each resource, the place behind everybody who wants it within the period. One query."""
    line = Reservation.objects.of(resources).standing().overlapping(starts_at, ends_at).for_list()
    if ignoring is not None:
        line = line.exclude(session=ignoring)
    places = dict.fromkeys(resources, 1)
    for reservation in line:
        places[reservation.resource] = max(places[reservation.resource], reservation.rank + 1)
    return places


def move_up(resource: Model, starts_at: datetime, ends_at: datetime, *, by) -> list[Reservation]:
    """After the period has been given up: those behind move up, each as far as it is free.

    Nobody passes anybody who asked before them for the same time. Call inside the transaction that
    gave the period up. Returns the reservations that moved.
    """
    moved = moved_up(_everybody_touched(resource, starts_at, ends_at))
    for reservation, rank in moved:
        reservation.rank = rank
        reservation._history_user = by
        reservation._change_reason = "moved up"
        reservation.save(update_fields=["rank"])
    return [reservation for reservation, _ in moved]


def moved_up(line: list[Reservation]) -> list[tuple[Reservation, int]]:
    """Who moves up and to which rank, in an order in which every place is free when it is taken.

    `line` holds standing reservations of one resource, and with each of them all that overlap it.
    In the end everybody stands right behind the last of those who were before them.
    """
    places: list[tuple[Reservation, int]] = []
    for reservation in sorted(line, key=lambda waiting: waiting.rank):
        before = [
            rank
            for other, rank in places
            if other.rank < reservation.rank and other.overlaps(reservation)
        ]
        places.append((reservation, 1 + max(before, default=0)))
    return [(reservation, rank) for reservation, rank in places if rank != reservation.rank]


def _everybody_touched(
    resource: Model, starts_at: datetime, ends_at: datetime
) -> list[Reservation]:
    """The standing reservations that overlap the period, those that overlap them, and so on."""
    standing = Reservation.objects.of([resource]).standing()
    while True:
        line = list(standing.overlapping(starts_at, ends_at))
        earliest = min([starts_at, *(reservation.starts_at for reservation in line)])
        latest = max([ends_at, *(reservation.ends_at for reservation in line)])
        if (earliest, latest) == (starts_at, ends_at):
            return line
        starts_at, ends_at = earliest, latest


def line_of(session: RecordingSession, *, among: QuerySet) -> dict[Model, list[Reservation]]:
    """For each resource of the session, the reservations of others that want the same time.

    Only of sessions in `among`. In order of rank, with their sessions; one query, and one more if
    the session's own reservations are not loaded.
    """
    own = {reservation.resource: reservation for reservation in session.reservations.all()}
    others = (
        Reservation.objects.of(own)
        .standing()
        .exclude(session=session)
        .filter(session__in=among)
        .for_list()
        .with_sessions()
        .order_by("rank", "starts_at")
    )
    if own:
        others = others.overlapping(
            min(reservation.starts_at for reservation in own.values()),
            max(reservation.ends_at for reservation in own.values()),
        )
    lines = {resource: [] for resource in own}
    for other in others:
        if other.overlaps(own[other.resource]):
            lines[other.resource].append(other)
    return lines
