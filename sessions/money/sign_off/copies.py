"""The client’s copy of what was signed, as a letter with the work order attached."""

from django.core.exceptions import ValidationError
from django.utils.text import slugify

from gear.acting import action
from sessions.bookings.models import RecordingSession
from sessions.letters.models import Letter
from sessions.letters.outbox import Draft, FileToMake, post
from sessions.letters.text import LetterText, Section
from sessions.money.models import MoneyPaper, OrderSignature
from sessions.money.overtime.models import Overtime
from sessions.money.session_costs import SessionCosts
from sessions.money.sign_off.standing import standing_order
from sessions.money.stored import WORK_ORDER
from sessions.periods import moment_in_words
from sessions.rooms.models import Studio
from sessions.signing.models import Signature


class NothingToSend(ValidationError):
    """There is nothing signed, or nobody to send it to; the message says which."""


@action
def send_copy(session: RecordingSession, *, by) -> list[Letter]:
    """To the session’s client: all that was signed and is not void. Raises NothingToSend."""
    client = session.project.client
    if not client.email:
        raise NothingToSend(f"{client} has no e-mail address: print the copy, or add the address.")
    overtime = list(session.overtime.standing().for_list())
    order = _signed_order(session)
    if not overtime and order is None:
        raise NothingToSend("Nothing was signed that still stands.")
    said = [_overtime(each) for each in overtime]
    files = ()
    if order:
        said += [_section(order.paper, order.signature)]
        files = (_paper(order.paper),)
    studio = Studio.current()
    text = LetterText(
        greeting=f"Dear {client},",
        paragraphs=(
            f"This is your copy of what was signed at “{session}”, {session.period_in_words}.",
        ),
        sections=tuple(said),
        closing=studio.closing,
    )
    draft = Draft(
        to=client.email,
        client=client,
        subject=f"Your copy of what was signed: {session}",
        text=text,
        files_to_make=files,
    )
    return post(session, kind="signed_copy", drafts=[draft], sender=studio.writes_as, by=by)


def _paper(paper: MoneyPaper) -> FileToMake:
    """Made when the letter goes: it takes about a second."""
    made_by = f"{__name__}.{client_copy.__name__}"
    return FileToMake(f"{slugify(paper)}.pdf", "application/pdf", made_by, paper.pk)


def client_copy(key: int) -> bytes:
    return WORK_ORDER.to_send(key)


def _signed_order(session: RecordingSession) -> OrderSignature | None:
    """Of the work order that says what is charged."""
    loaded = RecordingSession.objects.for_list().select_related("rate_card", "cancellation_terms")
    order = standing_order(SessionCosts(loaded.get(pk=session.pk)))
    return order.signed if order and not order.why_void else None


def _overtime(overtime: Overtime) -> Section:
    return _section(overtime.signature.signed.title, overtime.signature)


def _section(heading, signature: Signature) -> Section:
    signed = signature.signed
    return Section(
        heading=str(heading),
        facts=(
            *((label, value) for label, value in signed.facts),
            ("Signed by", str(signature)),
            ("Signed", moment_in_words(signature.signed_at)),
        ),
    )
