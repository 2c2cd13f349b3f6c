"""What is billed, asked for ahead and credited."""

from datetime import date
from decimal import Decimal
from threading import Barrier, Thread

import pytest
from django.db import IntegrityError, connection, transaction

from sessions.bookings.models import Status
from sessions.money.actions import issue_paper
from sessions.money.cancellations.actions import cancel_session
from sessions.money.invoices.actions import (
    issue_credit_note,
    issue_deposit_invoice,
    issue_invoice,
)
from sessions.money.invoices.billing import deposits_left, papers_to_bill
from sessions.money.invoices.drafting import InvoiceRefused, OtherLine
from sessions.money.invoices.models import Invoice, InvoiceLine
from sessions.money.models import PaperKind
from tests.factories import (
    CancellationStepFactory,
    ClientFactory,
    InvoiceFactory,
    InvoiceLineFactory,
    ProjectFactory,
    RateFactory,
    ReservationFactory,
    UserFactory,
    WorkedHoursFactory,
)
from tests.sessions.money.invoices.billed import money, quote, sums, work_order, wrapped
from tests.sessions.money.priced import ACTUAL, priced_session

pytestmark = pytest.mark.django_db


def client_of_paper(paper):
    return paper.session.project.client


def test_sessions_of_a_client_stand_on_one_invoice(manager):
    project = ProjectFactory()
    papers = [work_order(by=manager, project=project, hours=hours) for hours in (4, 6)]
    disk = OtherLine("A disk", Decimal("60.00"), Decimal(5), quantity="1")

    invoice = issue_invoice(
        project.client, papers=papers, other=[disk], due_on=date(2026, 7, 1), by=manager
    )

    invoice.refresh_from_db()
    assert str(invoice) == "Invoice 1"
    assert [(row.rate, row.net, row.tax) for row in invoice.taxes] == [
        ("VAT, 20 %", *money("450.00", "90.00")),
        ("VAT, 5 %", *money("60.00", "3.00")),
    ]
    assert sums(invoice) == money("510.00", "93.00", "603.00")
    assert [line.net for line in invoice.lines.all()] == list(money("180.00", "270.00", "60.00"))
    assert "by the hour: 4 h at 45.00, 180.00" in invoice.lines.first().detail
    assert not papers_to_bill().exists()


def test_a_paper_is_billed_once(manager):
    paper = work_order(by=manager)
    client = client_of_paper(paper)
    invoice = issue_invoice(client, papers=[paper], by=manager)

    with pytest.raises(InvoiceRefused, match="billed already"):
        issue_invoice(client, papers=[paper], by=manager)

    issue_credit_note(invoice, by=manager)
    assert str(issue_invoice(client, papers=[paper], by=manager)) == "Invoice 2"


def test_a_new_work_order_waits_until_the_old_ones_invoice_is_credited(manager):
    paper = work_order(by=manager)
    client = client_of_paper(paper)
    invoice = issue_invoice(client, papers=[paper], by=manager)
    WorkedHoursFactory(
        session=paper.session,
        kind=ACTUAL,
        starts_at=paper.session.ends_at,
        ends_at=paper.session.ends_at.replace(hour=20),
    )
    newer = issue_paper(paper.session, kind=PaperKind.WORK_ORDER, by=manager)
    assert [(each, each.billed_before) for each in papers_to_bill()] == [(newer, invoice.pk)]

    with pytest.raises(
        InvoiceRefused, match="Invoice 1 bills the session as it stood before Work order 2"
    ):
        issue_invoice(client, papers=[newer], by=manager)

    issue_credit_note(invoice, by=manager)
    with pytest.raises(InvoiceRefused, match="was replaced"):
        issue_invoice(client, papers=[paper], by=manager)
    issue_invoice(client, papers=[newer], by=manager)


@pytest.mark.parametrize(
    ("of", "refusal"), [("another client", "another client’s"), ("hours", "changed since")]
)
def test_a_paper_that_is_not_owed_is_not_billed(manager, of, refusal):
    paper = work_order(by=manager)
    client = client_of_paper(paper)
    if of == "another client":
        client = ClientFactory()
    else:
        paper.session.worked_hours.all().delete()

    with pytest.raises(InvoiceRefused, match=refusal):
        issue_invoice(client, papers=[paper], by=manager)


@pytest.mark.parametrize(
    ("lines", "refusal"),
    [
        ([], "Choose what is to be billed"),
        ([OtherLine("Tea", Decimal("1.005"), Decimal(20))], "Tea"),
    ],
)
def test_an_invoice_says_something_that_can_be_paid(manager, lines, refusal):
    with pytest.raises(InvoiceRefused, match=refusal):
        issue_invoice(ClientFactory(), other=lines, currency="GBP", by=manager)


def test_currencies_are_not_mixed(manager):
    project = ProjectFactory()
    first, second = (work_order(by=manager, project=project) for _ in range(2))
    card = second.session.rate_card
    card.currency = "EUR"
    card.save()
    second = issue_paper(second.session, kind=PaperKind.WORK_ORDER, by=manager)

    with pytest.raises(InvoiceRefused, match="EUR and GBP"):
        issue_invoice(project.client, papers=[first, second], by=manager)


def test_a_deposit_is_asked_for_once_and_taken_off_the_invoice(manager):
    """The deposit is 108.00 with 18.00 tax in it; so much less is billed later."""
    asked = quote(by=manager)
    client = client_of_paper(asked)
    deposit = issue_deposit_invoice(asked, by=manager)
    assert str(deposit) == "Deposit invoice 1"
    assert sums(deposit) == money("90.00", "18.00", "108.00")
    assert deposit.due_on <= asked.session.starts_at.date() or deposit.due_on == deposit.dated

    with pytest.raises(InvoiceRefused, match="Deposit invoice 1 asks for a deposit already"):
        issue_deposit_invoice(asked, by=manager)

    invoice = issue_invoice(client, papers=[wrapped(asked, by=manager)], by=manager)
    assert sums(invoice) == money("90.00", "18.00", "108.00")
    assert invoice.tax_rows == [{"name": "VAT", "percent": "20", "net": "90.00", "tax": "18.00"}]
    assert list(deposits_left(client)) == []
    with pytest.raises(InvoiceRefused, match="Nothing of that is left of Deposit invoice 1"):
        issue_credit_note(deposit, by=manager)


def test_what_an_invoice_does_not_reach_stays_of_a_deposit(manager):
    """A deposit of the whole price, of a session that was shorter: two hours are left of it, and may
    be credited; once the invoice is credited whole, all of it is left again."""
    asked = quote(by=manager)
    client = client_of_paper(asked)
    deposit = issue_deposit_invoice(asked, amount=asked.total, by=manager)
    invoice = issue_invoice(client, papers=[wrapped(asked, by=manager, hours=2)], by=manager)
    assert sums(invoice) == money("0.00", "0.00", "0.00")
    assert [line.left for line in deposits_left(client)] == [Decimal("90.00")]

    issue_credit_note(invoice, by=manager)
    assert [line.left for line in deposits_left(client)] == [Decimal("180.00")]

    assert sums(issue_credit_note(deposit, by=manager)) == money("180.00", "36.00", "216.00")


@pytest.mark.parametrize("amount", ["0", "216.01", "10.005"])
def test_a_deposit_can_be_paid_and_is_no_more_than_the_price(manager, amount):
    with pytest.raises(InvoiceRefused):
        issue_deposit_invoice(quote(by=manager), amount=Decimal(amount), by=manager)


@pytest.mark.parametrize("status", [Status.CANCELLED, Status.WRAPPED])
def test_no_deposit_is_asked_for_what_is_over(manager, status):
    asked = quote(by=manager)
    asked.session.status = status
    asked.session.save()

    with pytest.raises(InvoiceRefused, match="The session is"):
        issue_deposit_invoice(asked, by=manager)


def test_parts_of_an_invoice_are_credited_until_nothing_is_left(manager):
    """20 % of 0.02 is 0.00 and of 0.03 is 0.01: the last note credits the tax that is left."""
    disk = OtherLine("A disk", Decimal("0.07"), Decimal(20))
    invoice = issue_invoice(ClientFactory(), other=[disk], currency="GBP", by=manager)
    [line] = invoice.lines.all()
    assert sums(invoice) == money("0.07", "0.01", "0.08")

    notes = [
        issue_credit_note(invoice, amounts={line.pk: Decimal(amount)}, by=manager)
        for amount in ("0.02", "0.02", "0.03")
    ]

    assert [each.total for each in notes] == list(money("0.02", "0.02", "0.04"))
    with pytest.raises(InvoiceRefused, match="Nothing of that is left"):
        issue_credit_note(invoice, by=manager)


@pytest.mark.parametrize("amount", ["180.01", "-1.00", "0.005"])
def test_no_more_is_credited_than_is_left(manager, amount):
    paper = work_order(by=manager)
    invoice = issue_invoice(client_of_paper(paper), papers=[paper], by=manager)
    [line] = invoice.lines.all()

    with pytest.raises(InvoiceRefused):
        issue_credit_note(invoice, amounts={line.pk: Decimal(amount)}, by=manager)


def test_a_charge_is_not_credited_without_the_deposit_taken_off_it(manager):
    asked = quote(by=manager)
    issue_deposit_invoice(asked, by=manager)
    invoice = issue_invoice(client_of_paper(asked), papers=[wrapped(asked, by=manager)], by=manager)
    charge, less = invoice.lines.all()

    with pytest.raises(InvoiceRefused, match="90.00 GBP are left"):
        issue_credit_note(invoice, amounts={charge.pk: charge.net}, by=manager)

    both = {charge.pk: charge.net, less.pk: less.net}
    assert issue_credit_note(invoice, amounts=both, by=manager).total == Decimal("108.00")


def test_an_invoice_keeps_what_client_and_studio_were_called(manager):
    client = ClientFactory(name="Neap Records", address="1 Ford Lane\nOakum")
    tea = OtherLine("Tea", Decimal("5.00"), Decimal(0))
    invoice = issue_invoice(client, other=[tea], currency="GBP", by=manager)

    assert invoice.as_issued["client"] == {
        "name": "Neap Records",
        "address": ["1 Ford Lane", "Oakum"],
        "email": client.email,
    }


def test_what_was_issued_never_changes():
    line = InvoiceLineFactory()

    for change in (
        lambda: Invoice.objects.update(note="Other"),
        lambda: InvoiceLine.objects.update(what="Other"),
        lambda: InvoiceLine.objects.filter(pk=line.pk)._raw_delete("default"),
        lambda: InvoiceLineFactory(invoice=line.invoice, position=2),
        lambda: InvoiceFactory(number=3),
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            change()


def test_the_database_bills_once_and_credits_no_more_than_is_left(manager):
    paper = work_order(by=manager)
    invoice = issue_invoice(client_of_paper(paper), papers=[paper], by=manager)
    [line] = invoice.lines.all()
    note = InvoiceFactory(kind="credit_note", credits=invoice, client=invoice.client)

    with pytest.raises(IntegrityError, match="billed_once"), transaction.atomic():
        InvoiceLineFactory(money_paper=paper)
    with pytest.raises(IntegrityError, match="no_more_than_left"), transaction.atomic():
        InvoiceLineFactory(invoice=note, of_line=line, net=Decimal("180.01"))
    InvoiceLineFactory(invoice=note, of_line=line, net=Decimal("180.00"))


def test_the_deposit_of_a_cancelled_session_is_deducted_from_its_charge(manager):
    """The whole fee of 216.00 is charged, of which 108.00 was asked for ahead."""
    terms = CancellationStepFactory(notice_below=None, percent=100).terms
    asked = quote(by=manager, cancellation_terms=terms, status=Status.CONFIRMED)
    asked.session.status_steps.create(status=Status.CONFIRMED)
    issue_deposit_invoice(asked, by=manager)

    charge = cancel_session(asked.session, by=manager)
    assert list(papers_to_bill()) == [charge]

    invoice = issue_invoice(client_of_paper(charge), papers=[charge], by=manager)
    assert sums(invoice) == money("90.00", "18.00", "108.00")
    assert "of the fee before tax: 100 % of 180.00, 180.00" in invoice.lines.first().detail


@pytest.mark.postgres
def test_of_two_managers_at_one_moment_one_bills_it(on_postgresql, real_database):
    """Real commits, two threads that start together; SQLite lets one write at a time anyhow."""
    user = UserFactory()
    paper = work_order(by=user)
    start, refused = Barrier(2), []

    def run():
        try:
            start.wait()
            issue_invoice(client_of_paper(paper), papers=[paper], by=user)
        except Exception as error:
            refused.append(error)
        finally:
            connection.close()

    threads = [Thread(target=run) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert [type(error) for error in refused] == [InvoiceRefused]
    assert Invoice.objects.get().total == paper.total


def test_a_deposit_is_shared_out_over_the_rates_of_its_quote_and_deducted_at_each(manager):
    """180.00 at 20 % and 180.00 at 5 % come to 405.00; half of that is 108.00 of one and 94.50 of the
    other, with 18.00 and 4.50 of tax in them."""
    session = priced_session()
    room = ReservationFactory(session=session).room
    RateFactory(card=session.rate_card, room=room, tax_percent=5)
    asked = issue_paper(session, kind=PaperKind.QUOTE, by=manager)

    deposit = issue_deposit_invoice(asked, by=manager)
    assert [(row.net, row.tax) for row in deposit.taxes] == [
        money("90.00", "18.00"),
        money("90.00", "4.50"),
    ]

    invoice = issue_invoice(client_of_paper(asked), papers=[wrapped(asked, by=manager)], by=manager)
    lines = invoice.lines.all()
    assert [line.net for line in lines] == list(money("180.00", "180.00", "-90.00", "-90.00"))
    assert "by the hour; VAT 5 %: 4 h at 45.00, 180.00" in lines[0].detail
    assert sums(invoice) == money("180.00", "22.50", "202.50")
