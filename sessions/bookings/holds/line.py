"""The line for a room, a person or a unit: who stands behind whom, and who moves up."""

from collections.abc import Mapping
from datetime import datetime

from django.db.models import Model, Q, QuerySet

from sessions.bookings.models import RecordingSession, Reservation
from sessions.periods import Period


def end_of_line(
    wanted: Mapping[Model, Period], *, ignoring: RecordingSession | None = None
) -> dict[Model, int]:
    """For each resource, the place behind everybody who wants it within its period. One query."""
    places = dict.fromkeys(wanted, 1)
    if not wanted:
        return places
    line = Reservation.objects.of(wanted).standing().for_list()
    line = line.overlapping(
        min(starts_at for starts_at, _ in wanted.values()),
        max(ends_at for _, ends_at in wanted.values()),
    )
    if ignoring is not None:
        line = line.exclude(session=ignoring)
    for reservation in line:
        starts_at, ends_at = wanted[reservation.resource]
        if reservation.starts_at < ends_at and starts_at < reservation.ends_at:
            places[reservation.resource] = max(places[reservation.resource], reservation.rank + 1)
    return places


def move_up(resource: Model, starts_at: datetime, ends_at: datetime) -> list[Reservation]:
    """After the period has been given up: those behind move up, each as far as it is free.

    Nobody passes anybody who asked before them for the same time. Call inside the transaction that
    gave the period up. Returns the reservations that moved.
    """
    moved = moved_up(_everybody_touched(resource, starts_at, ends_at))
    for reservation, rank in moved:
        reservation.rank = rank
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


def line_of(
    session: RecordingSession, *, among: QuerySet, blocks: QuerySet
) -> dict[Model, list[Reservation]]:
    """For each resource of the session, the reservations of others that want the same time.

    Only of sessions in `among` and of `blocks`. In order of rank, with what they belong to; one
    query, and one more if the session's own reservations are not loaded.
    """
    own = {reservation.resource: reservation for reservation in session.reservations.all()}
    others = (
        Reservation.objects.of(own)
        .standing()
        .exclude(session=session)
        .filter(Q(session__in=among) | Q(block__in=blocks))
        .for_list()
        .with_holders()
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
