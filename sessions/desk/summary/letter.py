"""The summary of a session's day as an e-mail: what it says at first, and to whom it may go."""

from dataclasses import dataclass

from django.contrib.auth import get_user_model
from django.core.mail import EmailMessage
from django.utils import timezone
from django.utils.formats import date_format

from sessions.bookings.models import RecordingSession, SentSummary
from sessions.bookings.notices import undelivered
from sessions.deliverables.models import DeliverableKind
from sessions.reports.session_report import PartWork, SessionReport
from sessions.rooms.models import HouseRules
from sessions.takes.models import Take


class NothingSent(Exception):
    """The mail server took no letter at all; the text is a sentence for the user."""


@dataclass(frozen=True)
class Draft:
    """What somebody may edit before it is sent."""

    subject: str
    body: str
    for_the_house: str


def draft(report: SessionReport) -> Draft:
    """One query: which of the session's takes are chosen."""
    session = report.session
    chosen = set(Take.objects.chosen().filter(session=session).values_list("pk", flat=True))
    body = "\n\n".join(_paragraphs(report, chosen))
    faults = [f"- {fault.unit}: {fault} ({fault.get_state_display()})" for fault in report.faults]
    day = date_format(timezone.localtime(session.starts_at), "j F Y")
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
        "\n".join(["Left to do:", *(left or ["- nothing was noted, and nothing is open"])]),
    ]


def _part_in_words(work: PartWork, chosen: set[int]) -> str:
    takes = [line.take for line in work.takes]
    if not takes:
        return f"- {work.part}: set up"
    kept = ", ".join(_kept_in_words(take) for take in takes if take.pk in chosen)
    count = f"{len(takes)} take{'' if len(takes) == 1 else 's'}"
    return f"- {work.part}: {count}, " + (f"kept: {kept}" if kept else "none kept yet")


def _kept_in_words(take: Take) -> str:
    marks = [take.get_mark_display().lower()] if take.mark else []
    marks += ["circled"] if take.circled else []
    return f"take {take.number}" + (f" ({', '.join(marks)})" if marks else "")


def offered(session: RecordingSession) -> dict[str, str]:
    """Address -> whose it is: the client's, then those of the people of the session. Two queries."""
    client = session.project.client
    found = {client.email: f"{client}, {client.email}"} if client.email else {}
    reserved = session.reservations.standing().filter(person__isnull=False)
    credits = session.credits.select_related("person")
    people = {each.person for each in [*reserved.select_related("person"), *credits]}
    for person in sorted(people, key=lambda person: (person.name, person.pk)):
        if person.email:
            found.setdefault(person.email, f"{person}, {person.email}")
    return found


def house_addresses() -> set[str]:
    """Of everyone who signs in and is no outside mix engineer, in lower case. One query."""
    users = get_user_model().objects.filter(is_active=True).exclude(role="mix_engineer")
    pairs = users.values_list("email", "person__email")
    return {address.lower() for pair in pairs for address in pair if address}


def send_summary(
    session: RecordingSession, *, draft: Draft, recipients: list[str], by
) -> tuple[SentSummary, list[str]]:
    """Send one letter an address and log it; with it come the addresses that were not told.

    Raises NothingSent.
    """
    house, sender = house_addresses(), HouseRules.current().sender or None
    letters = [
        EmailMessage(draft.subject, _text(draft, address.lower() in house), sender, [address])
        for address in recipients
    ]
    refused = [letter.to[0] for letter in undelivered(letters)]
    told = [address for address in recipients if address not in refused]
    if not told:
        raise NothingSent(
            f"Nothing was sent: the mail server did not take the e-mail to {', '.join(refused)}. "
            "Check the addresses, or send it again later; what you wrote is kept on this page."
        )
    sent = SentSummary.objects.create(
        session=session,
        by=by,
        recipients=told,
        subject=draft.subject,
        body=draft.body,
        for_the_house=draft.for_the_house,
    )
    return sent, refused


def _text(draft: Draft, for_the_house: bool) -> str:
    texts = [draft.body, draft.for_the_house if for_the_house else ""]
    return "\n\n".join(text.strip() for text in texts if text.strip()) + "\n"
