from decimal import Decimal

import pytest

from sessions.money.payments.accounts import accounts_of, balance_of, state_of
from tests.factories import AllocationFactory, ClientFactory, PaymentFactory
from tests.sessions.money.payments.asked import asked, credited, day

pytestmark = pytest.mark.django_db


def paid(invoice, amount: str) -> None:
    payment = PaymentFactory(client=invoice.client, amount=Decimal(amount))
    AllocationFactory(payment=payment, invoice=invoice)


def test_account_has_what_is_open_what_is_overdue_and_what_is_free():
    client = ClientFactory()
    late = asked(client, "100.00", due=10)
    paid(late, "30.00")
    due = asked(client, "50.00", due=20)
    over = asked(client, "40.00")
    paid(over, "40.00")
    credited(over, "15.00")
    PaymentFactory(client=client, amount=Decimal("2.50"))

    [account] = accounts_of(client, day(11))

    assert account.currency == "GBP"
    assert account.open == (late, due)
    assert [account.asked, account.overdue, account.credit, account.owed] == [
        Decimal("120"),
        Decimal("70"),
        Decimal("17.5"),
        Decimal("102.5"),
    ]


def test_each_currency_has_an_account(django_assert_num_queries):
    client = ClientFactory()
    for _ in range(3):
        asked(client, "100.00", currency="EUR")
        PaymentFactory(client=client, amount=Decimal(5))

    with django_assert_num_queries(2):
        euro, pounds = accounts_of(client, day(1))

    assert (euro.currency, euro.owed) == ("EUR", 300)
    assert (pounds.currency, pounds.owed) == ("GBP", -15)


@pytest.mark.parametrize(
    ("pays", "credits", "on", "state"),
    [
        (None, None, 15, "unpaid"),
        (None, None, 16, "overdue"),
        ("40.00", None, 15, "part paid"),
        ("40.00", None, 16, "overdue"),
        ("100.00", None, 16, "paid"),
        ("40.00", "60.00", 16, "paid"),
        (None, "100.00", 16, "credited"),
    ],
)
def test_state_in_words(pays, credits, on, state):
    invoice = asked(ClientFactory(), "100.00", due=15)
    if pays:
        paid(invoice, pays)
    if credits:
        credited(invoice, credits)

    [found] = invoice.client.invoices.charging().with_balance()

    assert state_of(found, day(on)) == state
    assert balance_of(invoice) == found.balance


def test_invoice_that_a_deposit_covers_was_not_credited():
    asked(client := ClientFactory(), "0.00", due=15)

    [found] = client.invoices.charging().with_balance()

    assert state_of(found, day(16)) == "nothing to pay"
