from datetime import timedelta
from decimal import Decimal

import pytest
import time_machine

from sessions.money.payments.actions import record_payment
from sessions.money.payments.statement import age, currencies_of, statement
from tests.factories import ClientFactory
from tests.sessions.money.payments.asked import asked, credited, day

pytestmark = pytest.mark.django_db


@pytest.fixture
def client():
    return ClientFactory(name="Neap Records")


@pytest.fixture
def pay(client, manager):
    def pay(amount, on, to=None):
        with time_machine.travel("2026-11-28T12:00Z"):
            return record_payment(
                client,
                received_on=day(on),
                amount=Decimal(amount),
                currency="GBP",
                to=to,
                by=manager,
            )

    return pay


def of(client, since=8, until=20):
    return statement(client, "GBP", since=day(since), until=day(until))


def figures(amounts):
    return [f"{each:.2f}" for each in amounts]


def test_statement_of_a_month_with_all_that_can_stand_on_it(client, pay):
    before = asked(client, "100.00", dated=1, due=8)
    pay("30.00", 7, {before: Decimal(30)})
    during = asked(client, "200.00", dated=9, due=23)
    credited(during, "50.00", dated=12)
    pay("170.00", 20)
    asked(client, "400.00", dated=21)

    found = of(client)

    assert [found.opening, found.closing] == [Decimal(70), Decimal(50)]
    assert [(str(each.thing), each.amount, each.balance) for each in found.moves] == [
        ("Invoice 2", Decimal(200), Decimal(270)),
        ("Credit note 1", Decimal(-50), Decimal(220)),
        (str(client.payments.get(amount=170)), Decimal(-170), Decimal(50)),
    ]
    assert figures(found.ages) == ["50.00", "0.00", "0.00", "0.00", "0.00"]
    assert found.credit == 0


def test_what_was_credited_and_paid_later_is_open_at_the_end(client, pay):
    invoice = asked(client, "100.00", dated=1, due=8)
    credited(invoice, "10.00", dated=21)
    pay("90.00", 22)

    found = of(client, until=20)

    assert found.closing == 100
    assert figures(found.ages)[:2] == ["0.00", "100.00"]
    assert of(client, until=21).closing == 90
    assert of(client, until=22).closing == 0


def test_money_that_is_not_used_is_credit(client, pay):
    asked(client, "100.00", dated=9, due=25)
    pay("130.00", 10)

    found = of(client)

    assert (found.closing, found.credit, sum(found.ages)) == (-30, 30, 0)


def test_deposit_paid_before_its_invoice_is_dated_is_credit_until_then(client, pay):
    late = asked(client, "100.00", dated=21)
    pay("100.00", 10, {late: Decimal(100)})

    found = of(client)

    assert (found.closing, found.credit) == (-100, 100)


@pytest.mark.parametrize(
    ("days", "place"),
    [(-5, 0), (0, 0), (1, 1), (30, 1), (31, 2), (60, 2), (61, 3), (90, 3), (91, 4), (900, 4)],
)
def test_ages_by_days_after_the_due_date(days, place):
    """Common practice, no source: on the day itself it is not overdue."""
    assert age(day(1), day(1) + timedelta(days=days)) == place


def test_currencies_are_never_mixed(client, pay):
    asked(client, "100.00", currency="EUR")
    pay("20.00", 10)

    assert currencies_of(client) == ["EUR", "GBP"]
    assert of(client).closing == -20


def test_queries_stay_the_same(client, pay, django_assert_num_queries):
    for rows in (1, 3):
        for _ in range(rows):
            asked(client, "10.00")
            pay("5.00", 10)
        with django_assert_num_queries(3):
            of(client)
