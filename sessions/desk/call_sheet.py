"""The call sheet of a session: who comes where and when, what is switched on when, the input list."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils import timezone

from gear.equipment.cautions import Caution, cautions_for
from gear.equipment.models import Unit
from sessions.bookings.calls import first_calls
from sessions.bookings.models import (
    Credit,
    RecordingSession,
    Reservation,
    WorkedHours,
)
from sessions.bookings.stand_ins.needs import open_needs, why, why_not
from sessions.clients.models import Person, Project
from sessions.desk.confirmation import session_facts
from sessions.periods import duration_in_words
from sessions.setups.input_list.printed import InputList, input_lists
from sessions.setups.models import Revision
from sessions.setups.warnings.cautions import chain_cautions


@dataclass(frozen=True)
class PersonLine:
    """Somebody who comes. Who is only credited has the session's times, unless a call was planned."""

    person: Person
    does: str
    called_at: datetime
    until: datetime


@dataclass(frozen=True)
class UnitLine:
    """A reserved unit: when it is needed, and when it is switched on so that it is warm by then;
    `why_not` says of one that cannot be used what is wrong with it."""

    reservation: Reservation
    why_not: str = ""

    @property
    def unit(self) -> Unit:
        return self.reservation.unit

    @property
    def needed_at(self) -> datetime:
        return self.reservation.ready_at

    @property
    def warm_up(self) -> timedelta:
        return timedelta(minutes=self.unit.model.warm_up_minutes)

    @property
    def warm_up_in_words(self) -> str:
        return duration_in_words(self.warm_up) if self.warm_up else ""

    @property
    def switch_on_at(self) -> datetime:
        return self.needed_at - self.warm_up

    @property
    def is_too_early(self) -> bool:
        """Whether it would have to be warming up before it is reserved."""
        return self.switch_on_at < self.reservation.starts_at


@dataclass(frozen=True)
class SheetCaution:
    """A caution, and what it is about; as the papers' shared template reads it."""

    caution: Caution
    about: str


@dataclass(frozen=True)
class CallSheet:
    """`open` are sentences about what nothing stands in for yet."""

    session: RecordingSession
    open: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    rooms: tuple[Reservation, ...]
    people: tuple[PersonLine, ...]
    units: tuple[UnitLine, ...]
    hours: tuple[WorkedHours, ...]
    input_lists: tuple[InputList, ...]
    cautions: tuple[SheetCaution, ...]

    @property
    def is_to_come(self) -> bool:
        """What is out of service by now says nothing of a session that is over."""
        return self.session.ends_at > timezone.now()


def call_sheet(session: RecordingSession) -> CallSheet:
    """In a constant number of queries, if the session is loaded with project and client."""
    reserved = list(Reservation.objects.filter(session=session).for_list())
    needs = {each.pk: each for each in open_needs([session])}
    coming = [each for each in reserved if not each.missing]
    lists = input_lists(session)
    revisions = [line.revision for each in lists for line in each.lines]
    units = [
        UnitLine(each, why_not(needs[each.pk]) if each.pk in needs else "")
        for each in reserved
        if each.unit_id
    ]
    planned = session.worked_hours.filter(kind=WorkedHours.Kind.PLANNED)
    return CallSheet(
        session=session,
        open=tuple(f"{why(each)}. No stand-in is named yet." for each in needs.values()),
        facts=(*session_facts(session, reserved), ("Format", _format(session.project))),
        rooms=tuple(each for each in coming if each.room_id),
        people=tuple(_people(session, reserved)),
        units=tuple(sorted(units, key=lambda line: (line.switch_on_at, line.unit.asset_tag))),
        hours=tuple(planned),
        input_lists=tuple(lists),
        cautions=_cautions((line.unit for line in units if not line.why_not), revisions),
    )


def _format(project: Project) -> str:
    return f"{project.get_sample_rate_display()}, {project.get_bit_depth_display()}"


def _people(session: RecordingSession, reserved: list[Reservation]) -> list[PersonLine]:
    """First those who are reserved, by when they come; then those who are only credited. Who
    cannot be there is neither."""
    missing = {each.person_id for each in reserved if each.missing}
    credits: dict[Person, list[str]] = {}
    for credit in Credit.objects.filter(session=session).select_related("person"):
        words = [credit.get_role_display().lower(), credit.instrument]
        credits.setdefault(credit.person, []).append(", ".join(filter(None, words)))
    calls = first_calls(session)
    lines = [
        PersonLine(
            each.person,
            "; ".join(credits.pop(each.person, [each.person.does])),
            calls.get(each.person_id, each.starts_at),
            each.ends_at,
        )
        for each in reserved
        if each.person_id and not each.missing
    ]
    lines.sort(key=lambda line: (line.called_at, line.person.name))
    return lines + [
        PersonLine(
            person, "; ".join(roles), calls.get(person.pk, session.starts_at), session.ends_at
        )
        for person, roles in credits.items()
        if person.pk not in missing
    ]


def _cautions(units: Iterable[Unit], revisions: list[Revision]) -> tuple[SheetCaution, ...]:
    """Each caution once, with everything that gives cause for it. A unit that stands in a chain is
    judged there: what it needs by itself may damage another unit of that chain."""
    causes: dict[Caution, dict[str, None]] = {}
    in_chains = {stage.unit_id for revision in revisions for stage in revision.stages.all()}
    for unit in units:
        for caution in cautions_for(unit.model) if unit.pk not in in_chains else ():
            causes.setdefault(caution, {})[f"{unit}"] = None
    for revision in revisions:
        for found in chain_cautions(revision, revisions):
            about = causes.setdefault(found.caution, {})
            about.update({f"{stage.facts.unit}": None for stage in found.stages})
    return tuple(SheetCaution(caution, ", ".join(about)) for caution, about in causes.items())
