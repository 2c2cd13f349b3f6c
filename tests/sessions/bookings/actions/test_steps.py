"""Every action, one test an exit."""

import pytest

from gear.editing.versions import EditedMeanwhile
from sessions.bookings.actions import STEPS, set_status
from sessions.bookings.clashes import BookingRefused, ClashError
from sessions.bookings.models import RecordingSession, Status
from tests.sessions.bookings.days import ranks

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("status", Status)
@pytest.mark.parametrize("to", Status)
def test_set_status_takes_sensible_steps_only(book, manager, status, to):
    """The table of steps, written out here a second time by hand."""
    sensible = {
        ("enquiry", "held"),
        ("enquiry", "confirmed"),
        ("enquiry", "cancelled"),
        ("held", "enquiry"),
        ("held", "confirmed"),
        ("held", "cancelled"),
        ("confirmed", "held"),
        ("confirmed", "under_way"),
        ("confirmed", "cancelled"),
        ("under_way", "confirmed"),
        ("under_way", "wrapped"),
        ("wrapped", "under_way"),
        ("cancelled", "enquiry"),
    }
    session = book(10, 14)
    RecordingSession.objects.filter(pk=session.pk).update(status=status)
    if status in ("enquiry", "cancelled"):
        session.reservations.update(rank=None)

    if (status, to) in sensible:
        set_status(session, to=to, by=manager)
        assert RecordingSession.objects.get().status == to
        assert ranks(session) == [None if to in ("enquiry", "cancelled") else 1]
        assert session.history.first().history_user == manager
    else:
        with pytest.raises(BookingRefused, match="so it cannot become"):
            set_status(session, to=to, by=manager)
        assert RecordingSession.objects.get().status == status


def test_steps_name_every_status():
    assert set(STEPS) == set(Status)


def test_set_status_refuses_a_word_that_is_no_status(book, manager):
    with pytest.raises(BookingRefused, match="cannot become lost"):
        set_status(book(10, 14), to="lost", by=manager)


def test_set_status_cancelled_lets_those_behind_move_up(book, manager):
    first = book(10, 14)
    second, third = book(12, 16, queue_behind=True), book(13, 15, queue_behind=True)

    set_status(first, to=Status.CANCELLED, by=manager)

    assert (ranks(first), ranks(second), ranks(third)) == ([None], [1], [2])


def test_set_status_second_hold_cannot_be_confirmed(book, manager):
    first, second = book(10, 14), book(12, 16, queue_behind=True)

    with pytest.raises(ClashError) as refused:
        set_status(second, to=Status.CONFIRMED, by=manager)

    assert [clash.by.key for clash in refused.value.clashes] == [first.pk]
    second.refresh_from_db()
    assert (second.status, ranks(second)) == (Status.HELD, [2])


def test_set_status_enquiry_becomes_a_hold_in_line(book, manager):
    enquiry = book(10, 14, status=Status.ENQUIRY)
    book(12, 16)

    with pytest.raises(ClashError):
        set_status(enquiry, to=Status.HELD, by=manager)
    set_status(enquiry, to=Status.HELD, queue_behind=True, by=manager)

    assert ranks(enquiry) == [2]


def test_set_status_enquiry_is_not_held_with_a_retired_room(book, manager, room):
    enquiry = book(10, 14, status=Status.ENQUIRY)
    room.retired = True
    room.save()

    with pytest.raises(BookingRefused, match="is retired"):
        set_status(enquiry, to=Status.HELD, by=manager)


def test_set_status_confirming_past_a_blocked_hold_frees_its_old_place(book, manager):
    """
    rank 1  [10 first 12)
    rank 2     [11 second  14)
    rank 3          [12 third 15)   rank 1 is free for it: confirmed beats hold
    rank 4                [14 fourth 16)
    """
    book(10, 12)
    second = book(11, 14, queue_behind=True)
    third, fourth = book(12, 15, queue_behind=True), book(14, 16, queue_behind=True)
    assert (ranks(second), ranks(third), ranks(fourth)) == ([2], [3], [4])

    set_status(third, to=Status.CONFIRMED, by=manager)

    assert (ranks(second), ranks(third), ranks(fourth)) == ([2], [1], [2])


def test_set_status_counts_as_an_edit(book, change, manager):
    session = book(10, 14)
    opened = RecordingSession.objects.get(pk=session.pk)
    set_status(session, to=Status.CONFIRMED, by=manager)

    with pytest.raises(EditedMeanwhile):
        change(opened, title="Still a hold?")
