"""What letters carry that only slices above bookings know. Those are called by where they stand in the
code, as the tasks of the worker are, so that bookings import nothing of them."""

from collections.abc import Iterator

from django.utils.module_loading import import_string

from sessions.bookings.models import RecordingSession
from sessions.bookings.telling.facts import CONFIRMED, ReadsAs
from sessions.bookings.telling.readers import Reader
from sessions.bookings.telling.tidings import REMINDER, Tidings
from sessions.letters.outbox import FileToMake
from sessions.letters.text import Fact

ABOVE = "sessions.desk.in_letters"
CONFIRMATION = ("confirmation", "confirmation_pdf")
CALL_SHEET = ("call-sheet", "call_sheet_pdf")
WITHOUT_PHONES = ("call-sheet", "call_sheet_without_phones_pdf")


def price_of(session: RecordingSession) -> tuple[Fact, ...]:
    """Label and value of what the session costs; nothing where that is not known."""
    return import_string(f"{ABOVE}.price_of")(session)


def papers_for(reader: Reader, tidings: Tidings) -> tuple[FileToMake, ...]:
    """The confirmation for a client, the call sheet for who comes to work: with telephone numbers only
    for those who sign in. Made when the letter goes."""
    if tidings.after is None or not (tidings.is_in_a_calendar or tidings.kind == REMINDER):
        return ()
    return tuple(
        FileToMake(f"{name}.pdf", "application/pdf", f"{ABOVE}.{function}", tidings.session.pk)
        for name, function in _papers(reader, tidings)
    )


def _papers(reader: Reader, tidings: Tidings) -> Iterator[tuple[str, str]]:
    """Both for a client who is reserved as well."""
    if tidings.decides_as == ReadsAs.CLIENT:
        yield CONFIRMATION
    comes_to_work = tidings.reads_as in {ReadsAs.PERSON, ReadsAs.PLAYER}
    if comes_to_work and tidings.after["standing"] == CONFIRMED:
        yield CALL_SHEET if reader.person.user_id else WITHOUT_PHONES
