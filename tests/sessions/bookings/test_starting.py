"""What is asked before a session is set under way."""

import pytest

from sessions.bookings.models import RecordingSession, Status
from sessions.bookings.starting import doubts_about_starting
from tests.factories import RoomFactory
from tests.sessions.bookings.days import booked, hours

pytestmark = pytest.mark.django_db


def at(hour):
    return hours(hour, hour)[0]


def under_way(session):
    RecordingSession.objects.filter(pk=session.pk).update(
        status=Status.UNDER_WAY, status_since=session.starts_at
    )
    return session


def test_session_whose_time_has_come_starts_unasked(manager):
    session = booked(manager, status=Status.CONFIRMED, start=10)

    assert doubts_about_starting(session, at(9)) == []
    assert doubts_about_starting(session, at(11)) == []


def test_load_in_is_no_early_start(manager):
    session = booked(manager, status=Status.CONFIRMED, start=10)
    session.reservations.update(starts_at=at(8))

    assert doubts_about_starting(session, at(7.5)) == []


def test_start_hours_early_is_asked_about(manager):
    session = booked(manager, status=Status.CONFIRMED, start=10)

    [doubt] = doubts_about_starting(session, at(5.5))

    assert doubt.endswith("in 4 h 30 min.")


def test_room_in_which_another_is_under_way_is_asked_about(manager):
    room, other = RoomFactory(name="Room 1"), RoomFactory()
    under_way(booked(manager, status=Status.CONFIRMED, title="Brass", rooms=[room], start=6, end=9))
    under_way(booked(manager, status=Status.CONFIRMED, rooms=[other]))
    session = booked(manager, status=Status.CONFIRMED, rooms=[room], start=10)

    [doubt] = doubts_about_starting(session, at(10))

    assert doubt.startswith("“Brass” is under way in Room 1 since")


def test_own_rooms_are_no_reason(manager):
    session = under_way(booked(manager, status=Status.CONFIRMED))

    assert doubts_about_starting(session, at(10)) == []
