"""Confirm, hold, move, release and cancel the rest of a series: all the chosen dates, or none."""

import pytest
from icalendar import Calendar

from sessions.bookings.actions import set_status
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import Status, WorkedHours
from sessions.bookings.series.rest.actions import change_rest
from sessions.bookings.series.rest.changes import Change, Move, Verb
from sessions.letters.models import Letter, LetterState
from tests.factories import WorkedHoursFactory
from tests.sessions.bookings.days import ranks
from tests.sessions.bookings.series.rest.conftest import CLIENT, ENGINEER

MONDAYS = ["Mon 1 Jun 2026", "Mon 8 Jun 2026", "Mon 15 Jun 2026", "Mon 22 Jun 2026"]


def seen(sessions):
    return {each.pk: each.version for each in sessions}


def days(series):
    return [each.period_in_words.partition(",")[0] for each in series.sessions.all()]


def statuses(series):
    return [each.status for each in series.sessions.all()]


@pytest.mark.parametrize(
    ("first", "verb", "then"),
    [
        (Status.ENQUIRY, Verb.CONFIRM, Status.CONFIRMED),
        (Status.HELD, Verb.CONFIRM, Status.CONFIRMED),
        (Status.ENQUIRY, Verb.HOLD, Status.HELD),
        (Status.HELD, Verb.RELEASE, Status.ENQUIRY),
        (Status.CONFIRMED, Verb.CANCEL, Status.CANCELLED),
        (Status.HELD, Verb.CANCEL, Status.CANCELLED),
    ],
)
def test_chosen_dates_take_the_step_and_no_others(series_of, manager, first, verb, then):
    series = series_of(status=first)
    chosen = series.sessions.all()[2:]

    changed = change_rest(series, change=Change(verb), chosen=seen(chosen), by=manager)

    assert statuses(series) == [first, first, then, then]
    assert {step.by for each in changed for step in each.status_steps.filter(status=then)} == {
        manager
    }
    rank = None if then in (Status.ENQUIRY, Status.CANCELLED) else 1
    assert {each for session in changed for each in ranks(session)} == {rank}


def test_series_moves_by_its_own_interval_with_all_that_it_takes(series_of, manager):
    series = series_of(status=Status.CONFIRMED)
    before = [[each.resource for each in one.reservations.all()] for one in series.sessions.all()]

    change_rest(
        series,
        change=Change(Verb.MOVE, Move(days=7)),
        chosen=seen(series.sessions.all()),
        by=manager,
    )

    assert days(series) == [*MONDAYS[1:], "Mon 29 Jun 2026"]
    assert [
        [each.resource for each in one.reservations.all()] for one in series.sessions.all()
    ] == before
    for each in series.sessions.all():
        assert {row.ready_at for row in each.reservations.all()} == {each.starts_at}
        assert ranks(each) == [1, 1, 1]


def test_series_moves_back_by_its_own_interval(series_of, manager):
    series = series_of()

    change_rest(
        series,
        change=Change(Verb.MOVE, Move(days=-7)),
        chosen=seen(series.sessions.all()),
        by=manager,
    )

    assert days(series) == ["Mon 25 May 2026", *MONDAYS[:3]]


def test_planned_hours_move_along(series_of, manager):
    series = series_of(lockout=True)
    first = series.sessions.first()
    WorkedHoursFactory(session=first)

    change_rest(
        series, change=Change(Verb.MOVE, Move(minutes=60)), chosen=seen([first]), by=manager
    )

    first.refresh_from_db()
    assert WorkedHours.objects.get().starts_at == first.starts_at


def test_who_waits_behind_moves_up_when_the_rest_is_released(series_of, other, manager):
    series = series_of()
    behind = other(7, status=Status.HELD, queue_behind=True)
    assert ranks(behind) == [2]

    change_rest(series, change=Change(Verb.RELEASE), chosen=seen(series.sessions.all()), by=manager)

    assert ranks(behind) == [1]


def test_one_date_that_cannot_be_leaves_all_as_they_were(series_of, other, manager):
    series = series_of()
    other(8)

    with pytest.raises(BookingRefused) as refused:
        change_rest(
            series,
            change=Change(Verb.MOVE, Move(days=1)),
            chosen=seen(series.sessions.all()),
            by=manager,
        )

    assert refused.value.messages[0].startswith("1 of the 4 ticked dates cannot be changed so")
    assert days(series) == MONDAYS


def test_date_left_out_stays(series_of, other, manager):
    series = series_of()
    other(8)
    first, _, third, fourth = series.sessions.all()

    change_rest(
        series,
        change=Change(Verb.MOVE, Move(days=1)),
        chosen=seen([first, third, fourth]),
        by=manager,
    )

    assert days(series) == ["Tue 2 Jun 2026", MONDAYS[1], "Tue 16 Jun 2026", "Tue 23 Jun 2026"]


def test_what_somebody_changed_meanwhile_is_shown_and_nothing_is_saved(series_of, manager):
    series = series_of()
    chosen = seen(series.sessions.all())
    set_status(series.sessions.all()[1], to=Status.CONFIRMED, by=manager)

    with pytest.raises(BookingRefused) as refused:
        change_rest(series, change=Change(Verb.CANCEL), chosen=chosen, by=manager)

    assert refused.value.messages[1:] == ["Mon 8 Jun 2026, 11:00 to 15:00: confirmed."]
    assert statuses(series) == ["held", "confirmed", "held", "held"]


def test_nothing_chosen_and_what_is_of_no_such_status_are_refused(series_of, other, manager):
    series = series_of(status=Status.CONFIRMED)

    for chosen in ({}, seen(series.sessions.all()), seen([other(8)])):
        with pytest.raises(BookingRefused):
            change_rest(series, change=Change(Verb.CONFIRM), chosen=chosen, by=manager)


def parts(letter):
    """The calendar objects of a letter, read by icalendar."""
    files = [each for each in letter.files.all() if each.content_type.startswith("text/calendar")]
    return [Calendar.from_ical(bytes(each.content)) for each in files]


def test_moved_series_is_one_letter_to_each_with_a_calendar_object_for_each_date(
    series_of, manager
):
    """RFC 5546, section 3.2: one object for each UID. Read by icalendar."""
    series = series_of(status=Status.CONFIRMED)

    change_rest(
        series,
        change=Change(Verb.MOVE, Move(days=1)),
        chosen=seen(series.sessions.all()),
        by=manager,
    )

    letters = Letter.objects.filter(state=LetterState.WAITING)
    assert sorted(each.to for each in letters) == [CLIENT, ENGINEER]
    for letter in letters:
        found = parts(letter)
        assert {str(each["METHOD"]) for each in found} == {"REQUEST"}
        [uids, starts] = zip(
            *((str(e["UID"]), e.decoded("DTSTART")) for each in found for e in each.walk("VEVENT")),
            strict=True,
        )
        assert len(set(uids)) == 4
        assert sorted(starts) == [each.starts_at for each in series.sessions.all()]


def test_cancelled_rest_is_one_cancelling_letter_to_each(series_of, manager):
    series = series_of(status=Status.CONFIRMED)

    change_rest(
        series,
        change=Change(Verb.CANCEL),
        chosen=seen(series.sessions.all()[1:]),
        by=manager,
    )

    letters = Letter.objects.filter(state=LetterState.WAITING)
    assert sorted(each.to for each in letters) == [CLIENT, ENGINEER]
    for letter in letters:
        assert [str(each["METHOD"]) for each in parts(letter)] == ["CANCEL"] * 3


def test_refused_change_tells_nobody(series_of, other, manager):
    series = series_of()
    other(8)
    Letter.objects.all().delete()

    with pytest.raises(BookingRefused):
        change_rest(
            series,
            change=Change(Verb.MOVE, Move(days=1)),
            chosen=seen(series.sessions.all()),
            by=manager,
        )

    assert not Letter.objects.exists()
