"""What the database keeps by itself: plain saves, no actions."""

from decimal import Decimal

import pytest
from django.db import IntegrityError

from sessions.money.payments.models import Allocation, Payment
from tests.factories import ClientFactory, UserFactory
from tests.sessions.money.payments.asked import asked, credited, day

pytestmark = pytest.mark.django_db


def received(client, amount: str, **facts) -> Payment:
    facts = {"currency": "GBP", "received_on": day(20)} | facts
    return Payment.objects.create(
        client=client, amount=Decimal(amount), recorded_by=UserFactory(), **facts
    )


def used(payment, amount: str, **to) -> Allocation:
    return Allocation.objects.create(
        payment=payment, amount=Decimal(amount), made_by=payment.recorded_by, **to
    )


@pytest.mark.parametrize(
    ("fact", "value"), [("amount", Decimal(6)), ("received_on", day(1)), ("note", "Cash")]
)
def test_payment_stays_as_it_was_entered(fact, value):
    payment = received(ClientFactory(), "5.00")
    setattr(payment, fact, value)

    with pytest.raises(IntegrityError, match="payment_kept"):
        payment.save()


def test_payment_goes_along_when_its_client_is_another():
    """Two clients that were one are merged."""
    payment = received(ClientFactory(), "5.00")
    payment.client = ClientFactory()

    payment.save()


def test_payment_is_not_deleted():
    payment = received(ClientFactory(), "5.00")

    with pytest.raises(IntegrityError, match="payment_kept"):
        payment.delete()


@pytest.mark.parametrize("change", [Allocation.save, Allocation.delete])
def test_what_it_was_used_for_stays(change):
    client = ClientFactory()
    row = used(received(client, "5.00"), "5.00", invoice=asked(client, "5.00"))
    row.amount = Decimal(4)

    with pytest.raises(IntegrityError, match="allocation_kept"):
        change(row)


def test_no_more_is_used_than_was_received():
    client = ClientFactory()
    payment, invoice = received(client, "0.30"), asked(client, "5.00")
    used(payment, "0.10", invoice=invoice)
    used(payment, "0.20", invoice=invoice)

    with pytest.raises(IntegrityError, match="allocation_within_payment"):
        used(payment, "0.01", invoice=invoice)


def test_no_more_is_used_than_an_invoice_asks():
    client = ClientFactory()
    invoice = asked(client, "5.00")
    credited(invoice, "2.00")
    used(received(client, "2.00"), "2.00", invoice=invoice)

    with pytest.raises(IntegrityError, match="allocation_within_invoice"):
        used(received(client, "2.00"), "1.01", invoice=invoice)


def test_no_more_is_undone_than_was_used():
    client = ClientFactory()
    payment, invoice = received(client, "5.00"), asked(client, "5.00")
    used(payment, "3.00", invoice=invoice)

    with pytest.raises(IntegrityError, match="allocation_undone"):
        used(payment, "-3.01", invoice=invoice)


@pytest.mark.parametrize("facts", [{}, {"currency": "EUR"}], ids=["client", "currency"])
def test_money_is_used_for_its_client_and_currency_alone(facts):
    client = ClientFactory()
    invoice = asked(client if facts else ClientFactory(), "5.00", **facts)

    with pytest.raises(IntegrityError, match="allocation_of_one_client"):
        used(received(client, "5.00"), "5.00", invoice=invoice)


def test_credit_note_is_not_paid():
    client = ClientFactory()
    note = credited(asked(client, "5.00"), "5.00")

    with pytest.raises(IntegrityError, match="allocation_of_one_client"):
        used(received(client, "5.00"), "5.00", invoice=note)


def test_only_a_refund_gives_back():
    client = ClientFactory()

    with pytest.raises(IntegrityError, match="allocation_of_one_client"):
        used(received(client, "5.00"), "5.00", refund=received(client, "5.00"))
