"""What stands in a feed: the sessions and blocks of its room or person."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.conf import settings
from django.db.models import OuterRef, Prefetch, Q, QuerySet, Subquery
from django.utils import timezone
from icalendar import Event

from sessions.bookings.event import STATUS_WORDS, padding_in_words
from sessions.bookings.models import Block, RecordingSession, Reservation, Status
from sessions.calendar.feeds.models import FeedAddress
from sessions.clients.models import Client, Person, Project
from sessions.ical.events import calendar_of, new_event
from sessions.ical.names import name_of
from sessions.periods import midnight
from sessions.rooms.models import HouseRules, Room

PAST_KEPT = timedelta(days=90)
CANCELLED_KEPT = timedelta(days=60)
SHOWN = (RecordingSession, Reservation, Block, Room, Person, Project, Client)


def feed_file(feed: FeedAddress, *, now: datetime) -> bytes:
    """The feed as an iCalendar file. The same bytes until something changes or a day begins.

    It holds what has a rank and did not end more than 90 days ago, and for 60 days what
    was cancelled. An enquiry takes no time and is not in it; neither is a hold that was released,
    nor a room that its session has given up. In a constant number of queries.
    """
    house = HouseRules.current().calendar_namespace
    events = [
        reservation_event(
            reservation,
            uid=name_of(reservation, house),
            changed_at=_changed_at(reservation) or feed.made_at,
        )
        for reservation in feed_reservations(feed, now=now)
    ]
    return calendar_of(events, name=f"{feed.resource}", uid=name_of(feed.resource, house))


def feed_reservations(feed: FeedAddress, *, now: datetime) -> QuerySet:
    today = midnight(timezone.localdate(now))
    cancelled = Q(
        session__status=Status.CANCELLED, session__status_since__gte=today - CANCELLED_KEPT
    )
    reservations = (
        Reservation.objects.of([feed.resource])
        .filter(Q(rank__isnull=False) | cancelled, ends_at__gte=today - PAST_KEPT)
        .select_related("room", "person", "block", "session__project__client")
        .prefetch_related(
            *(
                Prefetch(
                    f"{taker}__reservations",
                    Reservation.objects.filter(room__isnull=False).for_list(),
                )
                for taker in ("session", "block")
            )
        )
        .annotate(
            **{
                f"{name}_changed_at": _newest(model.history.filter(id=OuterRef(key)))
                for name, model, key in (
                    ("own", Reservation, "pk"),
                    ("session", RecordingSession, "session_id"),
                    ("block", Block, "block_id"),
                )
            }
        )
        .order_by("starts_at", "pk")
    )
    if feed.person and feed.person.user:  # an outside mix engineer: only what they may see here
        visible = RecordingSession.objects.visible_to(feed.person.user)
        reservations = reservations.filter(Q(session=None) | Q(session__in=visible))
    return reservations


def last_change(*, now: datetime) -> datetime:
    """When a feed was last able to change: what it shows is no newer than this.

    Either somebody changed something that feeds are made of, or a day began and old events went.
    One query.
    """
    newest = {f"newest_{model.__name__}": _newest(model.history.all()) for model in SHOWN}
    [dates] = FeedAddress.objects.order_by()[:1].values_list(*newest.values())
    return max([midnight(timezone.localdate(now)), *filter(None, dates)])


def _newest(history: QuerySet) -> Subquery:
    return Subquery(history.order_by("-history_date").values("history_date")[:1])


def _changed_at(reservation: Reservation) -> datetime | None:
    dates = (
        reservation.own_changed_at,
        reservation.session_changed_at,
        reservation.block_changed_at,
    )
    return max(filter(None, dates), default=None)


def reservation_event(reservation: Reservation, *, uid: str, changed_at: datetime) -> Event:
    """What a room or person is taken for, padding and all. Reads what `contents.py` loads."""
    if reservation.block_id:
        return _block_event(reservation, uid=uid, changed_at=changed_at)
    session = reservation.session
    return new_event(
        uid=uid,
        changed_at=changed_at,
        sequence=session.version - 1,
        starts_at=reservation.starts_at,
        ends_at=reservation.ends_at,
        summary=_session_in_words(session, reservation),
        location=_places(reservation, session.reservations.all()),
        description=[
            f"{session.project.name}, {session.project.artist}",
            f"Client: {session.project.client}",
            f"Status: {reservation_status(reservation)}",
            f"Session: {session.period_in_words}",
            *padding_in_words(reservation),
        ],
        status=STATUS_WORDS.get(session.status, "CONFIRMED"),
        busy=reservation.rank == 1,
    )


def _block_event(reservation: Reservation, *, uid: str, changed_at: datetime) -> Event:
    block = reservation.block
    return new_event(
        uid=uid,
        changed_at=changed_at,
        sequence=block.version - 1,
        starts_at=reservation.starts_at,
        ends_at=reservation.ends_at,
        summary=f"{block.get_kind_display()}: {block.title}",
        location=_places(reservation, block.reservations.all()),
        description=[f"Unavailable: {block.get_kind_display().lower()}"],
    )


def reservation_status(reservation: Reservation) -> str:
    if reservation.session.status == Status.CANCELLED:
        return "cancelled"
    return reservation.standing


def _session_in_words(session: RecordingSession, reservation: Reservation) -> str:
    words = f"{session.title}: {session.project.artist}"
    firm = session.status not in {Status.HELD, Status.CANCELLED}
    return words if firm else f"{words} ({reservation_status(reservation)})"


def _places(reservation: Reservation, others: Iterable[Reservation]) -> str:
    """The room itself, or the rooms that the person is needed in; and the house."""
    rooms = [reservation.room] if reservation.room_id else [each.room for each in others]
    return ", ".join([*(room.name for room in rooms), settings.STUDIO_NAME])
