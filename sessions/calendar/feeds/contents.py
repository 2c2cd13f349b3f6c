"""What stands in a feed: the sessions and blocks of its room or person, or of the whole house."""

from datetime import datetime, timedelta

from django.db.models import Exists, Model, OuterRef, Prefetch, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce, Greatest
from django.utils import timezone

from sessions.bookings.models import Block, RecordingSession, Reservation, Status
from sessions.bookings.sequence import changes_of
from sessions.calendar.feeds.events import block_event, session_events
from sessions.calendar.feeds.models import FeedAddress
from sessions.clients.models import Client, Person, Project
from sessions.ical.events import calendar_of
from sessions.ical.names import name_of
from sessions.periods import midnight
from sessions.rooms.models import HouseRules, Room, Studio

PAST_KEPT = timedelta(days=90)
CANCELLED_KEPT = timedelta(days=60)
SHOWN = (RecordingSession, Reservation, Block, Room, Person, Project, Client, Studio)


def feed_file(feed: FeedAddress, *, now: datetime) -> bytes:
    """The feed as an iCalendar file. The same bytes until something changes or a day begins.

    It holds what has a rank and did not end more than 90 days ago, and for 60 days what
    was cancelled. An enquiry takes no time and is not in it; neither is a hold that was released,
    nor a room that its session has given up. In a constant number of queries.
    """
    rules = HouseRules.current()
    house, studio = rules.calendar_namespace, Studio.current().name
    of = feed.resource
    events = [
        event
        for session in _sessions(feed, now=now)
        for event in session_events(session, _own(session, of), house=house, studio=studio)
    ]
    events += [
        block_event(block, _own(block, of), house=house, studio=studio)
        for block in _blocks(feed, now=now)
    ]
    name = studio if feed.whole_house else feed.of
    return calendar_of(events, name=name, uid=name_of(of or rules, house))


def _own(holder: RecordingSession | Block, resource: Model | None) -> Reservation | None:
    """How it takes the feed's room or person. Reads what is loaded."""
    return next((each for each in holder.reservations.all() if each.resource == resource), None)


def _sessions(feed: FeedAddress, *, now: datetime) -> QuerySet:
    since = midnight(timezone.localdate(now))
    reserved = _reserved(feed, "session")
    shown = Exists(reserved.standing()) | (
        Q(status=Status.CANCELLED, status_since__gte=since - CANCELLED_KEPT) & Exists(reserved)
    )
    sessions = RecordingSession.objects.filter(shown, ends_at__gte=since - PAST_KEPT)
    if feed.person and feed.person.user:  # an outside mix engineer: only what they may see here
        sessions = sessions.visible_to(feed.person.user)
    sessions = sessions.select_related("project__client").annotate(sequence=changes_of("pk"))
    return _dated(sessions, feed, RecordingSession, "session")


def _blocks(feed: FeedAddress, *, now: datetime) -> QuerySet:
    since = midnight(timezone.localdate(now))
    blocks = Block.objects.filter(
        Exists(_reserved(feed, "block").standing()), ends_at__gte=since - PAST_KEPT
    )
    return _dated(blocks, feed, Block, "block")


def _reserved(feed: FeedAddress, holder: str) -> QuerySet:
    """What the session or block of the outer query reserves of what the feed is of."""
    rows = Reservation.objects.filter(**{holder: OuterRef("pk")})
    return rows.of([feed.resource]) if feed.resource else rows


def _dated(holders: QuerySet, feed: FeedAddress, model: type[Model], kind: str) -> QuerySet:
    """With the rooms and people that they have, and with `changed_at`; what has no history is as old
    as the feed."""
    newest = [
        Coalesce(_newest(history), feed.made_at)
        for history in (
            model.history.filter(id=OuterRef("pk")),
            Reservation.history.filter(**{f"{kind}_id": OuterRef("pk")}),
        )
    ]
    taken = Reservation.objects.filter(unit=None, missing=False).for_list()
    return holders.annotate(changed_at=Greatest(*newest)).prefetch_related(
        Prefetch("reservations", taken)
    )


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
