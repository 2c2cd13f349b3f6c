"""Which sessions are not billed: until an invoice bills what they are charged."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.actions import set_status
from sessions.bookings.models import RecordingSession, Status
from sessions.money.actions import issue_paper
from sessions.money.cancellations.actions import cancel_session
from sessions.money.invoices.actions import (
    issue_credit_note,
    issue_deposit_invoice,
    issue_invoice,
)
from sessions.money.invoices.billing import papers_to_bill
from sessions.money.invoices.drafting import InvoiceRefused
from sessions.money.models import PaperKind
from sessions.money.unbilled import unbilled, without_paper
from tests.factories import CancellationStepFactory
from tests.sessions.money.invoices.billed import quote
from tests.sessions.money.priced import priced_session, worked

pytestmark = pytest.mark.django_db


def not_billed() -> list[RecordingSession]:
    return list(unbilled(RecordingSession.objects))


def from_now(**ahead) -> dict:
    """When a session of four hours is that begins so much later."""
    starts_at = timezone.now() + timedelta(**ahead)
    return {"starts_at": starts_at, "ends_at": starts_at + timedelta(hours=4)}


@pytest.fixture
def wrapped():
    """216.00."""
    session = priced_session(status=Status.WRAPPED)
    worked(session)
    return session


def test_wrapped_session_is_unbilled_until_it_is_invoiced_and_again_once_that_is_credited(
    manager, wrapped
):
    priced_session(**from_now(days=1))  # not over
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


@pytest.mark.parametrize("status", [Status.CONFIRMED, Status.UNDER_WAY])
def test_session_that_is_over_and_neither_wrapped_nor_cancelled_is_listed(web, status):
    over = priced_session(status=status, **from_now(days=-2))
    priced_session(status=status, **from_now(days=1))

    assert not_billed() == [over]
    assert "Wrap or cancel it" in web.get(reverse("usage:unbilled")).text


def test_list_says_what_is_to_be_done_next(web, manager, wrapped):
    page = reverse("usage:unbilled")
    assert "Issue a work order" in web.get(page).text

    order = issue_paper(wrapped, kind=PaperKind.WORK_ORDER, by=manager)

    text = web.get(page).text
    assert f"?paper={order.pk}" in text
    assert "216.00 GBP" in text


def test_what_was_billed_before_a_cancellation_is_credited_before_its_charge_is_billed(
    web, manager, wrapped
):
    """A wrapped session that was opened again and cancelled: one or the other is charged."""
    order = issue_paper(wrapped, kind=PaperKind.WORK_ORDER, by=manager)
    client = wrapped.project.client
    invoice = issue_invoice(client, papers=[order], by=manager)
    wrapped.cancellation_terms = CancellationStepFactory(notice_below=None, percent=50).terms
    wrapped.status = Status.CONFIRMED
    wrapped.save()
    wrapped.status_steps.create(status=Status.CONFIRMED)
    charge = cancel_session(wrapped, by=manager)

    with pytest.raises(InvoiceRefused, match="Invoice 1 bills the session as it stood before"):
        issue_invoice(client, papers=[charge], by=manager)
    assert f"Credit {invoice}" in web.get(reverse("usage:unbilled")).text

    issue_credit_note(invoice, by=manager)
    assert list(papers_to_bill()) == [charge]  # and not the work order


def test_charge_that_was_billed_is_credited_before_the_reopened_session_is_billed(web, manager):
    step = CancellationStepFactory(notice_below=None, percent=50)
    session = priced_session(status=Status.CONFIRMED, cancellation_terms=step.terms)
    session.status_steps.create(status=Status.CONFIRMED)
    charge = cancel_session(session, by=manager)
    invoice = issue_invoice(session.project.client, papers=[charge], by=manager)

    set_status(session, to=Status.ENQUIRY, by=manager)
    assert not_billed() == [session]
    assert f"Credit {invoice}" in web.get(reverse("usage:unbilled")).text

    session.status = Status.WRAPPED
    session.save()
    worked(session)
    order = issue_paper(session, kind=PaperKind.WORK_ORDER, by=manager)
    with pytest.raises(InvoiceRefused, match="Invoice 1 bills the session as it stood before"):
        issue_invoice(session.project.client, papers=[order], by=manager)

    issue_credit_note(invoice, by=manager)
    assert issue_invoice(session.project.client, papers=[order], by=manager).total == order.total


def test_deposit_of_a_session_that_was_cancelled_for_nothing_is_listed_until_it_is_credited(
    web, manager
):
    terms = CancellationStepFactory(notice_below=None, percent=0).terms
    facts = {"cancellation_terms": terms, "status": Status.CONFIRMED}
    asked = quote(by=manager, **facts, **from_now(days=3))
    asked.session.status_steps.create(status=Status.CONFIRMED)
    deposit = issue_deposit_invoice(asked, by=manager)
    assert not_billed() == []

    cancel_session(asked.session, by=manager)
    assert not_billed() == [asked.session]
    assert f"Credit {deposit}" in web.get(reverse("usage:unbilled")).text

    issue_credit_note(deposit, by=manager)
    assert not_billed() == []


def test_what_a_charge_leaves_of_a_deposit_is_listed_until_it_is_credited(manager):
    """108.00 were asked for ahead, of which the charge takes a quarter of 216.00: 54.00 are left."""
    terms = CancellationStepFactory(notice_below=None, percent=25).terms
    asked = quote(by=manager, cancellation_terms=terms, status=Status.CONFIRMED)
    asked.session.status_steps.create(status=Status.CONFIRMED)
    deposit = issue_deposit_invoice(asked, by=manager)
    charge = cancel_session(asked.session, by=manager)
    invoice = issue_invoice(asked.session.project.client, papers=[charge], by=manager)
    assert (invoice.total, not_billed()) == (0, [asked.session])

    assert issue_credit_note(deposit, by=manager).total == Decimal("54.00")
    assert not_billed() == []


def test_list_asks_as_much_however_long_it_is(web, manager, django_assert_num_queries):
    def another():
        terms = CancellationStepFactory(notice_below=None, percent=0).terms
        asked = quote(by=manager, cancellation_terms=terms, status=Status.CONFIRMED)
        asked.session.status_steps.create(status=Status.CONFIRMED)
        issue_deposit_invoice(asked, by=manager)
        cancel_session(asked.session, by=manager)

    page = reverse("usage:unbilled")
    another()
    web.get(page)
    with CaptureQueriesContext(connection) as one:
        web.get(page)
    another()
    another()
    with django_assert_num_queries(len(one)):
        web.get(page)
