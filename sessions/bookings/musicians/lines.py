"""The musicians of a session: what they play, when they were there, what they signed."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime, timedelta

from sessions.bookings.calls import first_call
from sessions.bookings.models import Attendance, Credit, CreditRole, RecordingSession, Release
from sessions.clients.models import Person
from sessions.periods import duration_in_words


@dataclass(frozen=True)
class MusicianLine:
    """`called_at` is when they are wanted: as planned, else as reserved, else the session's start."""

    person: Person
    credits: tuple[Credit, ...]
    attendances: tuple[Attendance, ...]
    releases: tuple[Release, ...]
    called_at: datetime

    @property
    def name(self) -> str:
        return self.credits[0].name if self.credits else self.person.name_on_records

    @property
    def instruments(self) -> list[str]:
        """What they play as a musician, the first given first; the further ones are doubled."""
        played = sorted(self.credits, key=lambda each: each.pk)
        musician = (each for each in played if each.role == CreditRole.MUSICIAN)
        return list(dict.fromkeys(each.instrument for each in musician if each.instrument))

    @property
    def doubles(self) -> list[str]:
        return self.instruments[1:]

    @property
    def does(self) -> str:
        """Cornet, doubling flugelhorn; vocalist."""
        played = self.instruments[:1]
        if self.doubles:
            played = [
                f"{played[0]}, doubling {' and '.join(each.lower() for each in self.doubles)}"
            ]
        others = [
            each.does
            for each in self.credits
            if each.role != CreditRole.MUSICIAN or not each.instrument
        ]
        return "; ".join(dict.fromkeys([*played, *others])) or self.person.does

    @property
    def songs(self) -> list[str]:
        return [words for credit in self.credits for words in credit.songs_in_words]

    @property
    def now_in(self) -> Attendance | None:
        return next((each for each in self.attendances if each.is_in), None)

    @property
    def played(self) -> timedelta:
        """Of the stretches that are over."""
        return sum((each.played for each in self.attendances if each.left_at), timedelta())

    @property
    def played_in_words(self) -> str:
        return duration_in_words(self.played) if self.played else ""

    @property
    def release(self) -> Release | None:
        """The newest that stands."""
        return next((each for each in self.releases if each.stands), None)


def musicians_of(session: RecordingSession) -> list[MusicianLine]:
    """Performers by credit, and whose times were kept; a constant number of queries."""
    credits, attendances, releases = defaultdict(list), defaultdict(list), defaultdict(list)
    people: dict[Person, None] = {}
    for credit in session.credits.of_performers().for_list():
        people[credit.person] = None
        credits[credit.person_id].append(credit)
    for attendance in session.attendances.for_list():
        people[attendance.person] = None
        attendances[attendance.person_id].append(attendance)
    for release in session.releases.select_related("person", "signature"):
        people[release.person] = None
        releases[release.person_id].append(release)
    reserved = session.reservations.filter(person__isnull=False)
    calls = dict(reserved.values_list("person", "starts_at"))
    return [
        MusicianLine(
            person,
            tuple(credits[person.pk]),
            tuple(attendances[person.pk]),
            tuple(releases[person.pk]),
            first_call(attendances[person.pk]) or calls.get(person.pk, session.starts_at),
        )
        for person in sorted(people, key=lambda each: (each.name, each.pk))
    ]
