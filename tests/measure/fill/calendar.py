"""Sessions: every room has two a day, as many days back as it takes, with all that they take."""

from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta

from django.db import transaction
from django.utils import timezone

from sessions.bookings.models import (
    TAKES_NOTHING,
    RecordingSession,
    Reservation,
    Status,
    StatusStep,
)
from sessions.clients.models import Client, Project
from sessions.rooms.resources import by_kind
from tests.factories import ClientFactory, ProjectFactory
from tests.measure.fill.house import House

DAYS_TO_COME = 28  # at the most; a quarter of a small house's sessions
AT_ONCE = 500
SESSIONS_EACH = 20  # of a project, all in one room
PROJECTS_EACH = 4  # of a client
PADDING = timedelta(minutes=30)  # of a room, before and after
HOLDING = {Status.CONFIRMED, Status.HELD}


class Calendar:
    """The later sessions have the lower numbers, so that a house grows into the past."""

    def __init__(self, house: House, *, days_to_come: int = DAYS_TO_COME):
        self.house, self.rooms, self.count = house, len(house.booths), 0
        self.projects: list[Project] = []
        midnight = datetime.combine(timezone.now().date(), time(), UTC)
        self.now, self.last_day = timezone.now(), midnight + timedelta(days=days_to_come)

    @transaction.atomic
    def book(self, count: int) -> None:
        """So many more; the database looks at every reservation as it is written."""
        numbers = range(self.count, self.count + count)
        self.count += count
        self._make_projects()
        for first in range(0, count, AT_ONCE):
            some = numbers[first : first + AT_ONCE]
            sessions = RecordingSession.objects.bulk_create(map(self._session, some))
            Reservation.objects.bulk_create(
                reservation
                for number, session in zip(some, sessions, strict=True)
                for reservation in self._reservations(number, session)
            )
            StatusStep.objects.bulk_create(
                StatusStep(
                    session=session,
                    status=session.status,
                    at=min(session.starts_at, self.now),
                    by=self.house.manager,
                )
                for session in sessions
            )

    def _make_projects(self) -> None:
        first, wanted = len(self.projects), self._project_number(self.count - 1) + self.rooms
        clients = Client.objects.bulk_create(
            ClientFactory.build_batch(-(-(wanted - first) // PROJECTS_EACH))
        )
        self.projects += Project.objects.bulk_create(
            ProjectFactory.build(client=clients[number // PROJECTS_EACH])
            for number in range(wanted - first)
        )

    def _project_number(self, number: int) -> int:
        return number // (SESSIONS_EACH * self.rooms) * self.rooms + number % self.rooms

    def _session(self, number: int) -> RecordingSession:
        """14:00 to 18:00 and 9:00 to 13:00 UTC: the later one of a day has the lower number. Some
        mornings give way to a second hold behind the afternoon."""
        starts_at = self._afternoon(number)
        if self._is_morning(number) and not self._waits(number):
            starts_at -= timedelta(hours=5)
        return RecordingSession(
            project=self.projects[self._project_number(number)],
            title=f"Group vocals {number}",
            starts_at=starts_at,
            ends_at=starts_at + timedelta(hours=4),
            status=self._status(number, starts_at),
            status_since=min(starts_at, self.now),
        )

    def _afternoon(self, number: int) -> datetime:
        return self.last_day + timedelta(days=-(number // (2 * self.rooms)), hours=14)

    def _is_morning(self, number: int) -> bool:
        return number % (2 * self.rooms) >= self.rooms

    def _waits(self, number: int) -> bool:
        to_come = self._afternoon(number) > self.now
        ahead = self._status(number - self.rooms, self._afternoon(number))
        return self._is_morning(number) and to_come and not number % 11 and ahead in HOLDING

    def _status(self, number: int, starts_at: datetime) -> Status:
        if starts_at + timedelta(hours=4) <= self.now:
            return Status.WRAPPED if number % 25 else Status.CANCELLED
        if starts_at <= self.now:
            return Status.UNDER_WAY
        if not number % 11:
            return Status.HELD
        if not number % 19:
            return Status.ENQUIRY
        return Status.CONFIRMED if number % 3 else Status.HELD

    def _reservations(self, number: int, session: RecordingSession) -> Iterator[Reservation]:
        rank = None if session.status in TAKES_NOTHING else 2 if self._waits(number) else 1
        for kind, things in by_kind(self.house.booths[number % self.rooms].taken).items():
            around = PADDING if kind == "room" else timedelta(0)
            for thing in things:
                yield Reservation(
                    **{kind: thing},
                    session=session,
                    starts_at=session.starts_at - around,
                    ends_at=session.ends_at + around,
                    before_minutes=around.seconds // 60,
                    after_minutes=around.seconds // 60,
                    rank=rank,
                )
