"""A session with a price, and hours worked in it."""

from datetime import timedelta

from sessions.bookings.models import RecordingSession, WorkedHours
from tests.factories import (
    RateCardFactory,
    RateFactory,
    RecordingSessionFactory,
    ReservationFactory,
    WorkedHoursFactory,
)

ACTUAL = WorkedHours.Kind.ACTUAL


def priced_session(**facts) -> RecordingSession:
    """Four hours in one room at 45.00 an hour: 180.00, 36.00 tax."""
    reservation = ReservationFactory(
        session=RecordingSessionFactory(rate_card=RateCardFactory(), **facts)
    )
    RateFactory(card=reservation.session.rate_card, room=reservation.room)
    return loaded(reservation.session)


def loaded(session) -> RecordingSession:
    return RecordingSession.objects.for_list().get(pk=session.pk)


def worked(session, *, late=timedelta(0), hours=4) -> None:
    WorkedHoursFactory(
        session=session,
        kind=ACTUAL,
        starts_at=session.starts_at + late,
        ends_at=session.starts_at + timedelta(hours=hours),
    )
