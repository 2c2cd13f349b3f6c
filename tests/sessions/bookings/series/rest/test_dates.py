"""The rest of a series before it is changed: what would be in the way of each date."""

from datetime import date, time

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from sessions.bookings.blocks.actions import make_block
from sessions.bookings.models import BlockKind, RecordingSession, Status
from sessions.bookings.series.rest.changes import Change, Move, Verb
from sessions.bookings.series.rest.dates import dates_of_rest, in_order, rest_of
from tests.factories import ChallengeFactory, WeeklyHoursFactory
from tests.sessions.bookings.days import hours

CONFIRM = Change(Verb.CONFIRM)


def moved(**move):
    return Change(Verb.MOVE, Move(**move))


def all_of(series):
    return list(series.sessions.all().for_list())


def in_the_way(series, change, without=()):
    """For each date its conflicts, in words; `without` are numbers of dates that are not ticked."""
    sessions = all_of(series)
    chosen = {each.pk for number, each in enumerate(sessions) if number not in without}
    return [each.in_the_way for each in dates_of_rest(sessions, change, chosen=chosen)]


def test_rest_begins_on_a_day_and_leaves_out_what_is_over_or_cancelled(series_of, time_machine):
    series = series_of()
    first, second, third, fourth = series.sessions.all()
    RecordingSession.objects.filter(pk=third.pk).update(status=Status.CANCELLED)
    everything = RecordingSession.objects.all()

    assert list(rest_of(series, since=date(2026, 6, 1), among=everything)) == [
        first,
        second,
        fourth,
    ]
    assert list(rest_of(series, since=date(2026, 6, 2), among=everything)) == [second, fourth]
    assert not rest_of(series, since=date(2026, 6, 1), among=everything.none())
    time_machine.move_to(first.ends_at)
    assert list(rest_of(series, since=date(2026, 6, 1), among=everything)) == [second, fourth]


def test_second_hold_cannot_be_confirmed_and_says_who_is_first(series_of, other):
    other(7)
    series = series_of(status=Status.ENQUIRY)

    free, taken, *_ = in_the_way(series, CONFIRM)

    assert free == []
    assert len(taken) == 1
    assert taken[0].startswith("Bread Room is taken by “Other”")


def test_enquiry_of_a_unit_that_was_retired_cannot_be_confirmed_nor_held(series_of):
    series = series_of(status=Status.ENQUIRY)
    series.sessions.first().reservations.get(unit__isnull=False).unit.model.units.update(
        state="retired"
    )

    for verb in (Verb.CONFIRM, Verb.HOLD):
        assert all("is retired" in why[0] for why in in_the_way(series, Change(verb)))


def test_hold_whose_challenge_ran_out_cannot_be_confirmed(series_of, time_machine):
    series = series_of()
    challenge = ChallengeFactory(hold=series.sessions.first())
    time_machine.move_to(challenge.deadline)

    assert "it lapses" in in_the_way(series, CONFIRM)[0][0]


def test_what_is_confirmed_already_is_no_date_to_confirm(series_of):
    assert in_the_way(series_of(status=Status.CONFIRMED), CONFIRM) == []


def test_series_may_move_by_its_own_interval(series_of):
    """Each of the four takes the place of the next, which moves away with it."""
    assert in_the_way(series_of(), moved(days=7)) == [[]] * 4


def test_date_that_is_left_out_is_in_the_way_of_the_one_before(series_of):
    found = in_the_way(series_of(), moved(days=7), without=[2])

    assert [bool(why) for why in found] == [False, True, False, False]
    assert "“Brass”" in found[1][0]


def test_load_in_clashes_too(series_of, other):
    """The other ends at 16:00 UTC. Half an hour of load-in before 16:15 begins at 15:45."""
    series = series_of()
    other(7, start=15, end=16)

    assert in_the_way(series, moved(minutes=6 * 60 + 30)) == [[]] * 4
    [late] = in_the_way(series, moved(minutes=6 * 60 + 15))[1]
    assert late.endswith("Mon 8 Jun 2026, 16:45 to 17:00.")


def test_hold_behind_a_date_that_moves_away_is_in_the_way_of_the_one_that_would_come(
    series_of, other
):
    """It moves up once the second date is gone, before the first can take its place."""
    series = series_of()
    other(7, status=Status.HELD, queue_behind=True, title="Behind")

    found = in_the_way(series, moved(days=7))

    assert [bool(why) for why in found] == [True, False, False, False]
    assert "Bread Room is taken by “Behind”" in found[0][0]


def test_hold_behind_somebody_who_stays_is_not_in_the_way_twice(series_of, other):
    series = series_of()
    other(8)
    other(8, status=Status.HELD, queue_behind=True, title="Behind")

    [_, second, *_] = in_the_way(series, moved(days=1))

    assert len(second) == 1
    assert "“Other”" in second[0]


def test_hold_may_move_behind_who_has_the_time(series_of, other):
    series = series_of()
    other(8)

    assert in_the_way(series, moved(days=1))[1]
    queueing = Change(Verb.MOVE, Move(days=1), queue_behind=True)
    assert in_the_way(series, queueing) == [[]] * 4


def test_two_dates_that_would_meet_say_so(series_of, manager):
    """One of the Mondays was moved to Tuesday before; to Wednesday they would both go."""
    series = series_of()
    second = series.sessions.all()[1]
    RecordingSession.objects.filter(pk=second.pk).update(
        starts_at=hours(24 + 10, 0)[0], ends_at=hours(0, 24 + 14)[1]
    )

    first, met, *free = in_the_way(series, moved(weekday=2))

    assert first == [
        f"{each} is wanted by another of these dates too: Wed 3 Jun 2026, 11:00 to 15:00."
        for each in _resources(series)
    ]
    assert len(met) == 3
    assert free == [[], []]


def _resources(series):
    return [each.resource for each in all_of(series)[0].reservations.all()]


def test_closed_hours_are_in_the_way_unless_booked_all_the_same(series_of, bread_room):
    series = series_of()
    WeeklyHoursFactory(room=bread_room, weekday=1, opens=time(12), closes=time(22))

    assert (
        "Bread Room is closed: Tue 2 Jun 2026, 10:30 to 12:00"
        in in_the_way(series, moved(days=1))[0][0]
    )
    assert in_the_way(series, Change(Verb.MOVE, Move(days=1), all_the_same=True)) == [[]] * 4


def test_date_that_would_be_over_is_said(series_of, time_machine):
    series = series_of()
    time_machine.move_to(hours(0, 0)[0])

    assert in_the_way(series, moved(days=-1))[0] == ["That would be over already."]


def test_nothing_is_in_the_way_of_giving_time_up(series_of, other):
    series = series_of()

    assert in_the_way(series, Change(Verb.RELEASE)) == [[]] * 4
    assert in_the_way(series, Change(Verb.CANCEL)) == [[]] * 4


@pytest.mark.parametrize(("move", "last_first"), [({"days": 7}, True), ({"days": -7}, False)])
def test_none_moves_to_where_another_still_is(series_of, move, last_first):
    sessions = all_of(series_of())
    dates = dates_of_rest(sessions, moved(**move), chosen={each.pk for each in sessions})

    ordered = [each.session for each in in_order(dates)]

    assert ordered == (sessions[::-1] if last_first else sessions)


@pytest.mark.parametrize("number", [1, 4])
def test_queries_are_the_same_for_one_date_and_for_four(series_of, other, number):
    series = series_of()
    other(8)
    sessions = all_of(series)[:number]

    with CaptureQueriesContext(connection) as queries:
        dates_of_rest(sessions, moved(days=1), chosen={each.pk for each in sessions})

    assert len(queries) == 2


def test_what_is_missing_is_not_in_the_way_again(series_of, manager):
    """An engineer on leave: the session keeps its time without them until somebody stands in."""
    series = series_of()
    person = next(each.person for each in all_of(series)[1].reservations.all() if each.person)
    starts_at, ends_at = hours(24 * 7, 24 * 9)
    make_block(
        kind=BlockKind.LEAVE,
        title="Away",
        starts_at=starts_at,
        ends_at=ends_at,
        people=[person],
        over_bookings=True,
        by=manager,
    )

    assert in_the_way(series, CONFIRM) == [[]] * 4
    assert in_the_way(series, moved(days=1)) == [[]] * 4
