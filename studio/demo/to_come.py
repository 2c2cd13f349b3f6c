"""What is to come: holds that compete, challenges open and unanswered, a series, and calendar feeds."""

from datetime import datetime, timedelta

from django.utils import timezone

from sessions.bookings.challenges.actions import challenge_hold, lapse_due
from sessions.bookings.models import Challenge, Status
from sessions.bookings.series.actions import book_series
from sessions.bookings.series.dates import dates_by_rule
from sessions.bookings.series.rules import Rule
from sessions.calendar.feeds.models import FeedAddress


def book_what_is_to_come(work, midnight: datetime) -> None:
    """`midnight` is this morning's, in the studio's zone."""

    def at(days: int, hour: int) -> datetime:
        return midnight + timedelta(days=days, hours=hour)

    ulric = ["ulric"]
    work.book(
        "readings",
        "Readings, first night",
        at(6, 10),
        at(6, 18),
        Status.HELD,
        work.rope_floor,
        ["M-01", "S-01"],
    )
    work.book(
        "ep",
        "Round, all seven",
        at(6, 12),
        at(6, 20),
        Status.HELD,
        work.rope_floor,
        ["M-02", "M-03"],
        queue_behind=True,
    )
    work.book(
        "ep", "Mixing, if they like it", at(24, 10), at(24, 18), Status.ENQUIRY, work.bread_room
    )
    spare = work.book(
        "readings",
        "Readings, spare day",
        at(7, 20),
        at(8, 2),
        Status.HELD,
        work.bread_room,
        people=ulric,
    )
    horn = work.book(
        "ep",
        "Tenor horn, once more",
        at(7, 18),
        at(7, 22),
        Status.HELD,
        work.bread_room,
        people=ulric,
        queue_behind=True,
    )
    challenge_hold(spare, challenger=horn, by=work.manager)
    _lapsed_hold(work, at(4, 10), at(4, 16))
    weekly = work.book(
        "ep",
        "Listening back",
        at(2, 18),
        at(2, 20),
        Status.CONFIRMED,
        work.bread_room,
        people=ulric,
    )
    _repeat_weekly(weekly, by=work.manager)
    for resource in ({"room": work.rope_floor}, {"person": work.people["ulric"]}):
        FeedAddress.make(by=work.manager, **resource)


def _lapsed_hold(work, starts_at: datetime, ends_at: datetime) -> None:
    """A hold that was not confirmed in time this morning: the one behind it is the first hold now."""
    hold, behind = (
        work.book(
            project, title, starts_at, ends_at, Status.HELD, work.rope_floor, queue_behind=True
        )
        for project, title in (("readings", "Readings, rehearsal"), ("ep", "Brass, all three"))
    )
    asked = timezone.now() - timedelta(hours=30)
    Challenge.objects.create(
        hold=hold,
        challenger=behind,
        made_at=asked,
        made_by=work.manager,
        deadline=asked + timedelta(hours=24),
    )
    lapse_due(timezone.now())


def _repeat_weekly(session, *, by) -> None:
    rule = Rule.parse("FREQ=WEEKLY;COUNT=4")
    dates = [date.key for date in dates_by_rule(session, rule, [])]
    book_series(session, rule=rule, chosen=dates, status=session.status, by=by)
