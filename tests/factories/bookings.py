from datetime import UTC, date, datetime, time, timedelta

import factory
from factory.django import DjangoModelFactory

from sessions.bookings.models import (
    Attendance,
    Block,
    BlockKind,
    Challenge,
    Credit,
    CreditRole,
    GearSet,
    RecordingSession,
    Release,
    Reservation,
    Series,
    Status,
    WorkedHours,
)
from sessions.calendar.feeds.models import FeedAddress
from sessions.links.models import hash_of
from sessions.rooms.models import Room, Weekday, WeeklyHours
from tests.factories.people import PersonFactory, ProjectFactory, UserFactory

TEN_O_CLOCK = datetime(2026, 6, 1, 10, tzinfo=UTC)


class RoomFactory(DjangoModelFactory):
    class Meta:
        model = Room

    name = factory.Sequence(lambda n: f"Room {n}")


class GearSetFactory(DjangoModelFactory):
    """Of no units, unless some are given."""

    class Meta:
        model = GearSet
        skip_postgeneration_save = True

    name = factory.Sequence(lambda n: f"Piano in stereo {n}")

    @factory.post_generation
    def units(self, create, given, **kwargs):
        self.units.set(given or ())


class RecordingSessionFactory(DjangoModelFactory):
    """Four hours from ten o'clock UTC; reserves nothing by itself."""

    class Meta:
        model = RecordingSession

    project = factory.SubFactory(ProjectFactory)
    title = factory.Sequence(lambda n: f"Group vocals {n}")
    starts_at = TEN_O_CLOCK
    ends_at = factory.LazyAttribute(lambda session: session.starts_at + timedelta(hours=4))
    status = Status.CONFIRMED


class ReservationFactory(DjangoModelFactory):
    """Of a room, over the whole session, in first place."""

    class Meta:
        model = Reservation

    session = factory.SubFactory(RecordingSessionFactory)
    room = factory.SubFactory(RoomFactory)
    starts_at = factory.SelfAttribute("session.starts_at")
    ends_at = factory.SelfAttribute("session.ends_at")
    rank = 1


class FeedAddressFactory(DjangoModelFactory):
    class Meta:
        model = FeedAddress

    token_hash = factory.Sequence(lambda n: hash_of(f"secret {n}"))
    person = factory.SubFactory(PersonFactory)
    made_by = factory.SubFactory(UserFactory)


class ChallengeFactory(DjangoModelFactory):
    """One hold challenged by another, to be answered within a day; neither reserves anything."""

    class Meta:
        model = Challenge

    hold = factory.SubFactory(RecordingSessionFactory, status=Status.HELD)
    challenger = factory.SubFactory(RecordingSessionFactory, status=Status.HELD)
    made_by = factory.SubFactory(UserFactory)
    made_at = TEN_O_CLOCK - timedelta(days=7)
    deadline = factory.LazyAttribute(lambda challenge: challenge.made_at + timedelta(days=1))


class SeriesFactory(DjangoModelFactory):
    class Meta:
        model = Series

    rule = "FREQ=WEEKLY;COUNT=4"
    made_by = factory.SubFactory(UserFactory)


class WorkedHoursFactory(DjangoModelFactory):
    """Planned, over the whole session."""

    class Meta:
        model = WorkedHours

    session = factory.SubFactory(RecordingSessionFactory, lockout=True)
    kind = WorkedHours.Kind.PLANNED
    starts_at = factory.SelfAttribute("session.starts_at")
    ends_at = factory.SelfAttribute("session.ends_at")


class WeeklyHoursFactory(DjangoModelFactory):
    """Of a room, Monday 10:00 to 22:00."""

    class Meta:
        model = WeeklyHours

    room = factory.SubFactory(RoomFactory)
    weekday = Weekday.MONDAY
    opens = time(10)
    closes = time(22)


class BlockFactory(DjangoModelFactory):
    """Four hours from ten o'clock UTC; keeps nothing by itself."""

    class Meta:
        model = Block

    kind = BlockKind.MAINTENANCE
    title = factory.Sequence(lambda n: f"Piano tuning {n}")
    starts_at = TEN_O_CLOCK
    ends_at = factory.LazyAttribute(lambda block: block.starts_at + timedelta(hours=4))


class CreditFactory(DjangoModelFactory):
    class Meta:
        model = Credit

    session = factory.SubFactory(RecordingSessionFactory)
    person = factory.SubFactory(PersonFactory)
    role = CreditRole.VOCALIST


class AttendanceFactory(DjangoModelFactory):
    """In from ten o'clock UTC to two, without a break."""

    class Meta:
        model = Attendance

    session = factory.SubFactory(RecordingSessionFactory)
    person = factory.SubFactory(PersonFactory)
    came_at = TEN_O_CLOCK
    left_at = factory.LazyAttribute(lambda each: each.came_at and each.came_at + timedelta(hours=4))


class ReleaseFactory(DjangoModelFactory):
    class Meta:
        model = Release

    session = factory.SubFactory(RecordingSessionFactory)
    person = factory.SubFactory(PersonFactory)
    covers = "All songs of the session, for sale and broadcast"
    signed_on = date(2026, 6, 1)
    recorded_by = factory.SubFactory(UserFactory)
