from decimal import Decimal

import pytest
import time_machine
from django.core.exceptions import ValidationError

from sessions.money.invoices.models import Invoice
from sessions.money.payments.actions import (
    AllocatedMeanwhile,
    record_payment,
    refund,
    say_what_for,
    strike_out,
    use_credit,
)
from sessions.money.payments.models import Payment
from sessions.terms.currencies import plain
from tests.factories import ClientFactory
from tests.sessions.money.payments.asked import asked, balances, credited, day

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _in_november():
    with time_machine.travel("2026-11-28T12:00Z", tick=False):
        yield


@pytest.fixture
def client():
    return ClientFactory(name="Neap Records")


@pytest.fixture
def paid(client, manager):
    def pay(amount: str, *, on: int = 20, to=None, currency: str = "GBP"):
        return record_payment(
            client,
            received_on=day(on),
            amount=Decimal(amount),
            currency=currency,
            to=to,
            by=manager,
        )

    return pay


def free(client, currency="GBP"):
    return [plain(each.free) for each in Payment.objects.of(client, currency).with_free()]


def test_money_goes_to_what_fell_due_first(client, paid):
    asked(client, "100.00", due=20)
    asked(client, "60.00", due=10)

    paid("90.00")

    assert balances(client) == ["70.00", "0.00"]
    assert free(client) == ["0"]


def test_what_is_left_over_stays_as_credit(client, paid):
    asked(client, "100.00")

    paid("120.10")

    assert balances(client) == ["0.00"]
    assert free(client) == ["20.1"]


def test_thirds_of_a_sum_leave_nothing_open(client, paid):
    """Floating points, in which SQLite adds up, would: 0.1 + 0.2 is not 0.3."""
    asked(client, "0.30")

    paid("0.10")
    paid("0.20")

    [invoice] = Invoice.objects.with_balance()
    assert (invoice.paid, invoice.balance) == (Decimal("0.30"), 0)
    assert not Invoice.objects.still_open().exists()
    assert not Payment.objects.with_free().filter(free__gt=0).exists()


def test_money_goes_where_it_is_said_to_go(client, paid):
    first, second = asked(client, "100.00", due=10), asked(client, "60.00", due=20)

    paid("70.00", to={second: Decimal(60), first: Decimal(5)})

    assert balances(client) == ["95.00", "0.00"]
    assert free(client) == ["5"]


def test_other_clients_and_currencies_are_left_alone(client, paid):
    theirs = asked(ClientFactory(), "100.00")
    in_euro = asked(client, "100.00", currency="EUR")

    paid("50.00")

    assert free(client) == ["50"]
    for other in (theirs, in_euro):
        with pytest.raises(ValidationError, match="another client’s, or in another currency"):
            paid("50.00", to={other: Decimal(50)})


@pytest.mark.parametrize(
    ("amount", "on", "to", "message"),
    [
        ("10.00", 29, "10", "is to come"),
        ("0.00", 20, "0", "above 0"),
        ("10.005", 20, "10", "smallest amount in GBP is 0.01"),
        ("150.00", 20, "101", "asks for 100.00 GBP"),
        ("50.00", 20, "51", "more than was received"),
        ("50.00", 20, "-1", "above 0"),
    ],
)
def test_refused_money_changes_nothing(client, paid, amount, on, to, message):
    invoice = asked(client, "100.00")

    with pytest.raises(ValidationError, match=message):
        paid(amount, on=on, to={invoice: Decimal(to)})

    assert not Payment.objects.exists()


def test_yen_have_no_sen(paid):
    with pytest.raises(ValidationError, match="smallest amount in JPY is 1"):
        paid("10.50", currency="JPY")


def test_what_a_payment_is_for_is_changed_by_further_rows(client, paid, manager):
    first, second = asked(client, "100.00"), asked(client, "60.00")
    payment = paid("60.00", to={first: Decimal(60)})

    say_what_for(payment, to={second: Decimal(40)}, seen=1, by=manager)

    assert balances(client) == ["100.00", "20.00"]
    assert [(each.invoice, each.amount) for each in payment.allocations.all()] == [
        (first, 60),
        (first, -60),
        (second, 40),
    ]


def test_second_of_two_who_change_what_it_is_for_is_told(client, paid, manager):
    first, second = asked(client, "100.00"), asked(client, "60.00")
    payment = paid("60.00", to={first: Decimal(60)})
    say_what_for(payment, to={second: Decimal(40)}, seen=1, by=manager)

    with pytest.raises(AllocatedMeanwhile):
        say_what_for(payment, to={first: Decimal(60)}, seen=1, by=manager)

    assert balances(client) == ["100.00", "20.00"]


def test_credit_note_of_a_paid_invoice_frees_money_for_the_next(client, paid, manager):
    invoice = asked(client, "100.00")
    paid("60.00", on=18)
    paid("40.00", on=20)
    credited(invoice, "50.00")
    asked(client, "45.00", due=20)
    assert balances(client) == ["-50.00", "45.00"]

    used = use_credit(client, currency="GBP", by=manager)

    assert used == 45
    assert balances(client) == ["0.00", "0.00"]
    assert free(client) == ["5", "0"]


def test_refund_gives_back_what_is_free_and_no_more(client, paid, manager):
    invoice = asked(client, "100.00")
    paid("60.00", on=18)
    paid("40.00", on=20)
    credited(invoice, "50.00")

    given = refund(
        client, received_on=day(21), amount=Decimal(45), currency="GBP", by=manager, method="cash"
    )

    assert (given.amount, given.kind) == (-45, "Refund")
    assert balances(client) == ["0.00"]
    assert sorted(free(client)) == ["0", "0", "5"]
    with pytest.raises(ValidationError, match="has 5.00 GBP of credit"):
        refund(client, received_on=day(21), amount=Decimal("5.01"), currency="GBP", by=manager)


def test_money_that_was_used_in_parts_and_freed_again_leaves_nothing_to_free(client, paid, manager):
    """On SQLite, which adds up floating points, 0.1 + 0.2 − 0.3 and 0.3 − 0.1 − 0.2 are not 0."""
    invoice = asked(client, "100.00")
    for steps in (["0.10", "0.30", "0"], ["0.30", "0.20", "0"]):
        payment = paid("20.00", on=21, to={})
        for seen, amount in enumerate(steps):
            say_what_for(payment, to={invoice: Decimal(amount)}, seen=seen, by=manager)
    paid("90.00", on=20, to={invoice: Decimal(90)})
    credited(invoice, "50.00")

    refund(client, received_on=day(22), amount=Decimal(80), currency="GBP", by=manager)

    assert balances(client) == ["0.00"]
    assert {each.payment.amount for each in invoice.allocations.filter(amount=-40)} == {90}


def test_payment_entered_by_mistake_is_struck_out(client, paid, manager):
    asked(client, "100.00")
    payment = paid("120.00")

    against = strike_out(payment, note="Another client’s", by=manager)

    assert (against.amount, against.received_on, against.kind) == (-120, day(28), "Correction")
    assert balances(client) == ["100.00"]
    assert free(client) == ["0", "0"]
    with pytest.raises(ValidationError, match="struck out"):
        strike_out(payment, note="Once more", by=manager)


def test_refund_entered_by_mistake_is_credit_again(client, paid, manager):
    paid("50.00")
    given = refund(client, received_on=day(21), amount=Decimal(50), currency="GBP", by=manager)

    strike_out(given, note="It never left", by=manager)

    assert sorted(free(client)) == ["0", "0", "50"]


def test_payment_of_which_a_part_was_given_back_is_not_struck_out(client, paid, manager):
    payment = paid("50.00")
    refund(client, received_on=day(21), amount=Decimal(20), currency="GBP", by=manager)

    with pytest.raises(ValidationError, match="strike out the refund first"):
        strike_out(payment, note="Wrong", by=manager)


def test_overdue_begins_the_day_after(client, paid):
    late = asked(client, "100.00", due=15)
    asked(client, "100.00", due=16)
    paid("100.00", to={asked(client, "100.00", due=10): Decimal(100)})

    assert list(Invoice.objects.overdue(day(15))) == []
    assert list(Invoice.objects.overdue(day(16))) == [late]
