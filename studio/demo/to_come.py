"""What is to come: holds that compete, challenges open and unanswered, a series, and calendar feeds."""

from datetime import timedelta

from django.utils import timezone

from gear.equipment.models import Unit
from sessions.bookings.challenges.actions import challenge_hold, lapse_due
from sessions.bookings.models import Challenge, GearSet, Status
from sessions.bookings.series.actions import book_series
from sessions.bookings.series.dates import dates_by_rule
from sessions.bookings.series.rules import Rule
from sessions.calendar.feeds.models import FeedAddress
from studio.demo.days import as_of, at

GEAR_SETS = {
    "Voices round one pair": ["MC-01", "MC-02", "PR-01"],
    "Strings and brass, ribbons": ["MR-01", "MR-02", "MC-03", "MC-04"],
}


def book_what_is_to_come(work) -> None:
    for name, tags in GEAR_SETS.items():
        GearSet.objects.create(name=name).units.set(Unit.objects.filter(asset_tag__in=tags))
    with as_of(at(-9, 11)):
        _booked_in_good_time(work)
    _challenged_hold(work)
    _lapsed_hold(work)
    for resource in (
        {"whole_house": True},
        {"room": work.rope_floor},
        {"person": work.people["ulric"]},
    ):
        FeedAddress.make(by=work.manager, **resource)


def _booked_in_good_time(work) -> None:
    _weekly_drama(work)
    _held_mornings(work)
    _competing_holds(work)
    work.book(
        "ep", "Mixing, all five songs", at(27, 10), at(27, 18), Status.ENQUIRY, work.bread_room
    )
    work.book(
        "choir",
        "Carols, second half",
        at(9, 14),
        at(9, 20),
        Status.CONFIRMED,
        work.rope_floor,
        ["MC-01", "MC-02", "MC-03", "MC-04", "PR-01"],
    )


def _competing_holds(work) -> None:
    """The score first, the round behind it: the same afternoon, the same room, two microphones."""
    work.book(
        "film",
        "3m7, strings and brass",
        at(5, 11),
        at(5, 19),
        Status.HELD,
        work.rope_floor,
        ["MC-03", "MC-04", "MR-01", "MR-02"],
    )
    work.book(
        "ep",
        "Ferry Clerk, whole band",
        at(5, 14),
        at(5, 22),
        Status.HELD,
        work.rope_floor,
        ["MR-01", "MR-02", "DI-01"],
        queue_behind=True,
    )


def _challenged_hold(work) -> None:
    with as_of(at(-4, 15)):
        spare = work.book(
            "film",
            "Narration, spare evening",
            at(6, 18),
            at(6, 22),
            Status.HELD,
            work.bread_room,
            people=["ulric"],
        )
        piano = work.book(
            "ep",
            "Salt on the Sill, voice and piano",
            at(6, 17),
            at(6, 21),
            Status.HELD,
            work.bread_room,
            people=["ulric"],
            queue_behind=True,
        )
    challenge_hold(spare, challenger=piano, by=work.manager)


def _lapsed_hold(work) -> None:
    """A hold that was not confirmed in time this morning: the one behind it is the first hold now."""
    asked = timezone.now() - timedelta(hours=31)
    with as_of(asked - timedelta(days=3)):
        hold, behind = (
            work.book(
                project,
                title,
                at(11, 10),
                at(11, 16),
                Status.HELD,
                work.rope_floor,
                queue_behind=True,
            )
            for project, title in (
                ("choir", "Carols, rehearsal"),
                ("ep", "Drums again, if need be"),
            )
        )
    Challenge.objects.create(
        hold=hold,
        challenger=behind,
        made_at=asked,
        made_by=work.manager,
        deadline=asked + timedelta(hours=24),
    )
    lapse_due(timezone.now())


def _weekly_drama(work) -> None:
    """Four evenings of the radio serial, a week apart."""
    first = work.book(
        "radio",
        "Episode 3, edit with the producer",
        at(3, 17),
        at(3, 20),
        Status.CONFIRMED,
        work.bread_room,
        people=["piran"],
    )
    _repeat(first, "FREQ=WEEKLY;COUNT=4", by=work.manager)


def _held_mornings(work) -> None:
    """Three mornings on hold, a week apart; the second stands behind somebody else’s."""
    morning = {"status": Status.HELD, "room": work.bread_room, "people": []}
    work.book("choir", "Carols, solo verses", at(19, 10), at(19, 13), **morning)
    first = work.book("ep", "Brass, spare mornings", at(12, 10), at(12, 13), **morning)
    _repeat(first, "FREQ=WEEKLY;COUNT=3", by=work.manager)


def _repeat(first, text: str, *, by) -> None:
    rule = Rule.parse(text)
    dates = [date.key for date in dates_by_rule(first, rule, [])]
    book_series(first, rule=rule, chosen=dates, status=first.status, queue_behind=True, by=by)
