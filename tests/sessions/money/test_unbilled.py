"""Which sessions are not billed: until an invoice bills what they are charged."""

import pytest
from django.urls import reverse

from sessions.bookings.models import RecordingSession, Status
from sessions.money.actions import issue_paper
from sessions.money.cancellations.actions import cancel_session
from sessions.money.invoices.actions import issue_credit_note, issue_invoice
from sessions.money.models import PaperKind
from sessions.money.unbilled import unbilled, without_paper
from tests.factories import CancellationStepFactory
from tests.sessions.money.priced import priced_session, worked

pytestmark = pytest.mark.django_db


def not_billed() -> list[RecordingSession]:
    return list(unbilled(RecordingSession.objects))


@pytest.fixture
def wrapped():
    """216.00."""
    session = priced_session(status=Status.WRAPPED)
    worked(session)
    return session


def test_wrapped_session_is_unbilled_until_it_is_invoiced_and_again_once_that_is_credited(
    manager, wrapped
):
    priced_session()  # not over
    issue_paper(wrapped, kind=PaperKind.QUOTE, by=manager)
    assert (not_billed(), list(without_paper(RecordingSession.objects))) == ([wrapped], [wrapped])

    order = issue_paper(wrapped, kind=PaperKind.WORK_ORDER, by=manager)
    assert (not_billed(), list(without_paper(RecordingSession.objects))) == ([wrapped], [])

    invoice = issue_invoice(wrapped.project.client, papers=[order], by=manager)
    assert not_billed() == []

    issue_credit_note(invoice, by=manager)
    assert not_billed() == [wrapped]


def test_cancelled_session_is_unbilled_until_its_charge_is_invoiced(manager):
    step = CancellationStepFactory(notice_below=None, percent=50)
    session = priced_session(status=Status.CONFIRMED, cancellation_terms=step.terms)
    session.status_steps.create(status=Status.CONFIRMED)

    charge = cancel_session(session, by=manager)
    assert not_billed() == [session]

    invoice = issue_invoice(session.project.client, papers=[charge], by=manager)
    assert (not_billed(), invoice.total) == ([], charge.total)


def test_list_says_what_is_to_be_done_next(web, manager, wrapped):
    page = reverse("usage:unbilled")
    assert "Issue a work order" in web.get(page).text

    order = issue_paper(wrapped, kind=PaperKind.WORK_ORDER, by=manager)

    text = web.get(page).text
    assert f"?paper={order.pk}" in text
    assert "216.00 GBP" in text
