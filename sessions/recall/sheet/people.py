"""Who recorded what is on the sheet, in which rooms, and whom to ask about it."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from sessions.bookings.models import Credit, CreditRole, RecordingSession, Reservation
from sessions.rooms.models import Studio


@dataclass(frozen=True)
class CreditLine:
    """`role` is one of CreditRole, or a word of another house's."""

    person: str
    role: str
    instrument: str

    @property
    def role_in_words(self) -> str:
        return dict(CreditRole.choices).get(self.role, self.role)

    def __str__(self) -> str:
        return f"{self.person} ({self.instrument})" if self.instrument else self.person


@dataclass(frozen=True)
class SessionPeople:
    """A session, the rooms that it took, and its credits."""

    session: RecordingSession
    rooms: tuple[str, ...]
    credits: tuple[CreditLine, ...]

    def names(self, role: str) -> list[str]:
        return [each.person for each in self.credits if each.role == role]

    @property
    def engineers(self) -> list[str]:
        return self.names(CreditRole.RECORDING_ENGINEER)

    @property
    def assistants(self) -> list[str]:
        return self.names(CreditRole.ASSISTANT_ENGINEER)

    @property
    def in_words(self) -> list[tuple[str, str]]:
        """Room, engineer and assistant, given or not; then the others by role."""
        staff = (CreditRole.RECORDING_ENGINEER, CreditRole.ASSISTANT_ENGINEER)
        others = defaultdict(list)
        for each in self.credits:
            if each.role not in staff:
                others[each.role_in_words].append(f"{each}")
        said = [("Room", self.rooms), ("Engineer", self.engineers), ("Assistant", self.assistants)]
        return [(label, ", ".join(words)) for label, words in (*said, *others.items())]


@dataclass(frozen=True)
class Contact:
    """Of the house that recorded it."""

    studio: str
    phone: str = ""
    email: str = ""

    def __str__(self) -> str:
        return ", ".join(filter(None, (self.studio, self.phone, self.email)))


def people_of(sessions: Iterable[RecordingSession]) -> tuple[SessionPeople, ...]:
    """In the order of their days. Two queries, or none without a session."""
    found = sorted(set(sessions), key=lambda session: (session.starts_at, session.pk))
    rooms, credits = defaultdict(dict), defaultdict(list)
    if found:
        taken = Reservation.objects.filter(session__in=found, room__isnull=False, missing=False)
        for each in taken.select_related("room").order_by("room__name"):
            rooms[each.session_id][each.room.name] = None
        for each in Credit.objects.filter(session__in=found).select_related("person"):
            line = CreditLine(each.person.name, each.role, each.instrument)
            credits[each.session_id].append(line)
    return tuple(
        SessionPeople(session, tuple(rooms[session.pk]), tuple(credits[session.pk]))
        for session in found
    )


def our_contact() -> Contact:
    """As the page of the studio says. A query."""
    studio = Studio.current()
    return Contact(studio.name, studio.phone, studio.email or studio.sender)
