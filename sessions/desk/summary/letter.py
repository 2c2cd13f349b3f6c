"""The summary of a session's day as an e-mail: what it says at first, and to whom it may go."""

from dataclasses import dataclass

from django.contrib.auth import get_user_model
from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format

from sessions.bookings.models import RecordingSession
from sessions.clients.models import Client, Person
from sessions.deliverables.models import DeliverableKind
from sessions.letters import outbox
from sessions.letters.models import Letter
from sessions.letters.text import LetterText
from sessions.reports.session_report import PartWork, SessionReport
from sessions.reports.summaries import SUMMARY
from sessions.rooms.models import Studio
from sessions.takes.models import TakePart


@dataclass(frozen=True)
class Draft:
    """What somebody may edit before it is sent."""

    subject: str
    body: str
    for_the_house: str


def draft(report: SessionReport) -> Draft:
    """One query: which of the session's takes are chosen."""
    session = report.session
    chosen = set(
        TakePart.objects.chosen().filter(take__session=session).values_list("pk", flat=True)
    )
    body = "\n\n".join(_paragraphs(report, chosen))
    faults = [
        f"- {fault.unit}: {fault} ({fault.get_state_display().lower()})" for fault in report.faults
    ]
    day = date_format(timezone.localtime(session.starts_at))
    return Draft(
        subject=f"{str(session)[:110]}: summary of {day}",
        body=body,
        for_the_house="\n".join(["Faults reported:", *faults]) if faults else "",
    )


def _paragraphs(report: SessionReport, chosen: set[int]) -> list[str]:
    session, facts = report.session, dict(report.facts)
    rooms = ", ".join(str(each.resource) for each in report.rooms) or "none reserved"
    head = [
        f"Session: {session}, {facts['Project']} ({facts['Artist']})",
        f"When: {facts['Period']} ({facts['Hours']})",
        f"Rooms: {rooms}",
    ]
    done = [
        line
        for work in report.songs
        for line in [f"{work.song}", *(_part_in_words(part, chosen) for part in work.parts)]
    ]
    mixes = [
        f"- {each.song}: {each}"
        for each in report.deliverables
        if each.kind == DeliverableKind.ROUGH_MIX
    ]
    written = session.left_to_do.splitlines()
    left = [f"- {each}" for each in [*written, *report.left_in_songs, *report.owed] if each.strip()]
    return [
        "\n".join(head),
        "\n".join(["Songs and parts done:", *(done or ["- nothing was recorded"])]),
        "\n".join(["Rough mixes made:", *(mixes or ["- none"])]),
        "\n".join(["Left to do:", *(left or ["- nothing"])]),
    ]


def _part_in_words(work: PartWork, chosen: set[int]) -> str:
    takes = [line.part for line in work.takes]
    if not takes:
        return f"- {work.part}: set up"
    chosen_ones = ", ".join(_take_in_words(take) for take in takes if take.pk in chosen)
    count = f"{len(takes)} take{'' if len(takes) == 1 else 's'}"
    return f"- {work.part}: {count}, " + (
        f"chosen: {chosen_ones}" if chosen_ones else "none chosen yet"
    )


def _take_in_words(part: TakePart) -> str:
    marks = [part.get_mark_display().lower()] if part.mark else []
    marks += ["circled"] if part.circled else []
    return f"take {part.take.number}" + (f" ({', '.join(marks)})" if marks else "")


def offered(session: RecordingSession) -> dict[str, str]:
    """Address -> whose it is: the client's, then those of the people of the session. Two queries."""
    return {address: f"{whose}, {address}" for address, whose in _readers(session).items()}


def _readers(session: RecordingSession) -> dict[str, Client | Person]:
    client = session.project.client
    found = {client.email: client} if client.email else {}
    reserved = session.reservations.standing().filter(person__isnull=False)
    credits = session.credits.select_related("person")
    people = {each.person for each in [*reserved.select_related("person"), *credits]}
    for person in sorted(people, key=lambda person: (person.name, person.pk)):
        if person.email:
            found.setdefault(person.email, person)
    return found


def house_addresses() -> set[str]:
    """Of everyone who signs in and is no outside mix engineer, in lower case. One query."""
    users = get_user_model().objects.filter(is_active=True).exclude(role="mix_engineer")
    pairs = users.values_list("email", "person__email")
    return {address.lower() for pair in pairs for address in pair if address}


@transaction.atomic
def send_summary(
    session: RecordingSession, *, draft: Draft, recipients: list[str], by
) -> list[Letter]:
    """One letter an address."""
    house, readers = house_addresses(), _readers(session)
    letters = [
        outbox.Draft(
            to=address,
            subject=draft.subject,
            text=LetterText.of_plain(_text(draft, address.lower() in house)),
            **_named(readers.get(address)),
        )
        for address in recipients
    ]
    sender = Studio.current().writes_as
    return outbox.post(session, kind=SUMMARY, drafts=letters, sender=sender, by=by)


def _named(reader: Client | Person | None) -> dict:
    return {type(reader).__name__.lower(): reader} if reader else {}


def _text(draft: Draft, for_the_house: bool) -> str:
    texts = [draft.body, draft.for_the_house if for_the_house else ""]
    return "\n\n".join(text for text in texts if text.strip())
