"""Choose what a session is charged by, and issue its papers: each in one transaction."""

from datetime import date

from gear.acting import action, set_facts
from gear.editing.versions import claim_version
from sessions.bookings.models import RecordingSession
from sessions.money.drafting import PaperRefused, drafted
from sessions.money.models import MoneyPaper
from sessions.money.numbering import one_at_a_time
from sessions.money.session_costs import SessionCosts
from sessions.rooms.models import Studio


@action
def choose_terms(session: RecordingSession, *, version: int, by, **facts) -> RecordingSession:
    """Rate card, cancellation terms and discount. Raises EditedMeanwhile when somebody saved the
    session after `version`."""
    claim_version(session, version)
    session.refresh_from_db()
    set_facts(session, **facts)
    session.save()
    return session


@action
def issue_paper(
    session: RecordingSession, *, kind: str, by, note: str = "", valid_until: date | None = None
) -> MoneyPaper:
    """The next quote (planned hours) or work order (actual hours) of the session.

    Raises PaperRefused without a price for everything, for a work order of a session that is not
    wrapped, and for a paper that says what the newest of its kind says already.
    """
    one_at_a_time()
    session = RecordingSession.objects.for_list().get(pk=session.pk)
    costs = SessionCosts(session)
    paper = drafted(costs, kind)
    paper.number = next_number(kind)
    paper.issued_by, paper.valid_until, paper.note = by, valid_until, note
    paper.as_issued["studio"] = Studio.current().as_issued()
    if any(_is_the_same(paper, each) for each in costs.papers[:1] if each.kind == kind):
        raise PaperRefused(
            f"{costs.papers[0]} says exactly this already, so nothing new was issued."
        )
    paper.save(force_insert=True)
    return paper


def next_number(kind: str) -> int:
    """Of papers of the kind; whoever asks has waited to be the only one (`one_at_a_time`)."""
    return 1 + MoneyPaper.objects.filter(kind=kind).count()


def _is_the_same(one: MoneyPaper, other: MoneyPaper) -> bool:
    fields = ("lines", "as_issued", "net", "tax", "total", "deposit", "valid_until", "note")
    return all(getattr(one, field) == getattr(other, field) for field in fields)
