"""Have a work order signed, and send the client a copy of what was signed."""

from gear.acting import action
from sessions.bookings.models import RecordingSession
from sessions.money.drafting import OVERTAKEN, PaperRefused, was_overtaken
from sessions.money.models import MoneyPaper, OrderSignature, PaperKind
from sessions.money.session_costs import SessionCosts
from sessions.money.sign_off.statements import order_statement
from sessions.signing.forms import READ_AGAIN
from sessions.signing.models import sign
from sessions.signing.statement import Statement


def check_signable(paper: MoneyPaper) -> None:
    """Raises PaperRefused for what is no work order, is signed, or no longer says what is charged."""
    if paper.kind != PaperKind.WORK_ORDER:
        raise PaperRefused("Only a work order is signed.")
    if OrderSignature.objects.filter(paper=paper).exists():
        raise PaperRefused(f"{paper} is signed already.")
    if newer := paper.replaced_by:
        raise PaperRefused(f"{newer} was issued in place of {paper}: have that one signed.")
    sessions = RecordingSession.objects.for_list().select_related("rate_card", "cancellation_terms")
    if was_overtaken(paper, SessionCosts(sessions.get(pk=paper.session_id))):
        raise PaperRefused(f"{OVERTAKEN} {paper} was issued: issue a new one and have that signed.")


@action
def sign_work_order(paper: MoneyPaper, *, read: Statement, signature: dict, by) -> OrderSignature:
    """The client signs the newest work order under what they `read`. Raises PaperRefused."""
    RecordingSession.objects.select_for_update(no_key=True).get(pk=paper.session_id)
    check_signable(paper)
    if order_statement(paper) != read:
        raise PaperRefused(READ_AGAIN)
    client = paper.session.project.client
    given = sign(read, **signature, on_behalf_of=str(client), by=by)
    return OrderSignature.objects.create(paper=paper, signature=given)
