"""Who is concerned by a session, under which address, and as what."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.contrib.auth import get_user_model
from django.db.models import Model

from sessions.bookings.models import RecordingSession, Told
from sessions.bookings.telling.facts import (
    DECIDE,
    DECIDES,
    Facts,
    ReadsAs,
    facts_for,
    with_what_they_decide,
)
from sessions.clients.models import Client, Person

Key = tuple[str, int]  # which of the three, and its key


@dataclass(frozen=True)
class Reader:
    """Somebody whom a letter is written to; one of the three is given."""

    address: str
    person: Person | None = None
    client: Client | None = None
    user: Model | None = None

    @property
    def name(self) -> str:
        return str(self.person or self.client or self.user)

    @property
    def key(self) -> Key:
        """The same when their address changes."""
        of = {"person": self.person, "client": self.client, "user": self.user}
        return next((kind, who.pk) for kind, who in of.items() if who)

    @property
    def place(self) -> str | Key:
        """What two readers are one by: their address; who has none stands alone."""
        return self.address.lower() or self.key

    def is_user(self, user: Model) -> bool:
        return self.user == user or bool(self.person and self.person.user_id == user.pk)

    @classmethod
    def of(cls, told: Told) -> "Reader":
        return cls(told.address, told.person, told.client, told.user)


@dataclass(frozen=True)
class Concerned:
    """A reader of one session, and what it is to them."""

    reader: Reader
    facts: Facts


def managers() -> list[Model]:
    """The studio managers who sign in. One query."""
    return list(get_user_model().objects.filter(role="manager", is_active=True))


def concerned_by(session: RecordingSession, house: Iterable[Model]) -> list[Concerned]:
    """All whom the session concerns, also those without an address. No address comes twice."""
    everybody = {}
    for reads_as, reader in _everybody(session, house):
        facts = facts_for(session, reads_as, reader.person)
        if facts is None:
            continue
        known = everybody.setdefault(reader.place, Concerned(reader, facts))
        is_person = known.facts["reads_as"] == ReadsAs.PERSON
        if is_person and reads_as in DECIDE and DECIDES not in known.facts:
            both = with_what_they_decide(known.facts, facts)
            everybody[reader.place] = Concerned(known.reader, both)
    return list(everybody.values())


def _everybody(session: RecordingSession, house: Iterable[Model]):
    people = [each for each in session.reservations.all() if each.person_id]
    reserved = [each.person for each in people if not each.missing]
    away = {each.person_id for each in people if each.missing}
    credited = {
        each.person_id: each.person for each in session.credits.all() if each.person_id not in away
    }
    client = session.project.client
    for person in reserved:
        yield ReadsAs.PERSON, Reader(person.email, person=person)
    yield ReadsAs.CLIENT, Reader(client.email, client=client)
    for person in credited.values():
        if person not in reserved:
            yield ReadsAs.PLAYER, Reader(person.email, person=person)
    for user in house:
        yield ReadsAs.MANAGER, Reader(user.email, user=user)
