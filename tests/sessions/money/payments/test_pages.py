"""Pages of payments and accounts, as the manager goes through them."""

import csv
import io
from decimal import Decimal

import pytest
import time_machine
from django.urls import reverse

from sessions.letters.models import Letter
from sessions.money.invoices.actions import issue_credit_note, issue_invoice
from sessions.money.invoices.drafting import OtherLine
from sessions.money.payments.models import Payment
from tests.factories import ClientFactory, PaymentFactory
from tests.printed import accessibility_errors, text_of
from tests.sessions.money.payments.asked import asked, balances, credited, day

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _in_november():
    with time_machine.travel("2026-11-28T12:00Z"):
        yield


@pytest.fixture
def web(client_of, manager):
    return client_of(manager)


@pytest.fixture
def neap():
    return ClientFactory(name="Neap Records", email="office@neap.example")


def typed(**facts):
    return {
        "received_on": "2026-11-20",
        "amount": "100.00",
        "currency": "GBP",
        "method": "transfer",
    } | facts


def test_payment_typed_on_its_page_goes_to_what_fell_due_first(web, neap):
    asked(neap, "80.00", due=20)
    asked(neap, "60.00", due=10)

    answer = web.post(
        reverse("payments:create", args=[neap.pk]), typed(reference="NEAP 7"), follow=True
    )

    assert balances(neap) == ["40.00", "0.00"]
    page = answer.content.decode()
    assert "of 100.00 GBP saved." in page
    assert "NEAP 7" in page


def test_page_of_a_payment_offers_all_that_the_named_invoice_asks(web, neap):
    asked(neap, "80.00", due=10)
    named = asked(neap, "60.00", due=20)

    form = web.get(reverse("payments:create", args=[neap.pk]), {"invoice": named.pk}).context[
        "form"
    ]

    assert form.initial == {
        "received_on": day(28),
        "currency": "GBP",
        "amount": "60.00",
        f"for_{named.pk}": "60.00",
    }


@pytest.mark.parametrize(
    ("facts", "field", "message"),
    [
        ({"received_on": "2026-11-29"}, "received_on", "is to come"),
        ({"amount": "0"}, "amount", "above 0"),
        ({"currency": "pounds"}, "currency", "three letters"),
        ({"amount": "100", "for_{}": "61"}, None, "asks for 60.00 GBP"),
    ],
)
def test_what_is_refused_is_said_where_it_was_typed(web, neap, facts, field, message):
    invoice = asked(neap, "60.00")
    facts = {name.format(invoice.pk): value for name, value in facts.items()}

    form = web.post(reverse("payments:create", args=[neap.pk]), typed(**facts)).context["form"]

    errors = form.errors[field or "__all__"]
    assert message in str(errors)
    assert form["amount"].value() == typed(**facts)["amount"]
    assert not Payment.objects.exists()


@pytest.mark.parametrize(
    ("amount", "read"),
    [
        ("1,250.50", "1250.50"),
        ("1,250", "1250.00"),
        ("1 250.50", "1250.50"),
        ("250,50", "250.50"),
        ("0,5", "0.50"),
    ],
)
def test_comma_between_thousands_or_before_decimals_is_no_mistake(web, neap, amount, read):
    web.post(reverse("payments:create", args=[neap.pk]), typed(amount=amount))

    assert str(Payment.objects.get().amount) == read


@pytest.mark.parametrize("amount", ["1,25,50", "1.250,50", "1,2.5", "-5", "NaN"])
def test_amount_that_may_be_read_in_two_ways_is_asked_for_again(web, neap, amount):
    page = web.post(reverse("payments:create", args=[neap.pk]), typed(amount=amount))

    assert page.context["form"].errors["amount"]
    assert not Payment.objects.exists()


def test_what_it_is_for_is_changed_and_the_second_of_two_is_told(web, neap):
    first, second = asked(neap, "60.00", due=10), asked(neap, "60.00", due=20)
    web.post(reverse("payments:create", args=[neap.pk]), typed(amount="60"))
    page = reverse("payments:what_for", args=[Payment.objects.get().pk])

    web.post(page, {f"for_{first.pk}": "", f"for_{second.pk}": "50", "seen": "1"})
    late = web.post(page, {f"for_{first.pk}": "60", f"for_{second.pk}": "", "seen": "1"})

    assert balances(neap) == ["60.00", "10.00"]
    assert "Somebody else changed" in str(late.context["form"].errors)


def test_refund_and_striking_out(web, neap):
    web.post(reverse("payments:create", args=[neap.pk]), typed())
    web.post(reverse("payments:refund", args=[neap.pk]), typed(amount="40.00"))
    payment, given = Payment.objects.order_by("pk")

    refused = web.post(reverse("payments:strike", args=[payment.pk]), {"note": "Wrong client"})
    done = web.post(
        reverse("payments:strike", args=[given.pk]), {"note": "Never left"}, follow=True
    )

    assert "strike out the refund first" in str(refused.context["form"].errors)
    assert "Entered by mistake" in done.content.decode()
    assert str(given.amount) == "-40.00"


def test_credit_is_used_by_one_press(web, neap):
    PaymentFactory(client=neap)
    asked(neap, "45.00")

    page = web.post(
        reverse("payments:credit", args=[neap.pk]), {"currency": "GBP"}, follow=True
    ).content.decode()

    assert "45.00 GBP of credit used." in page
    assert balances(neap) == ["0.00"]


def statement_of(neap):
    invoice = asked(neap, "100.00", dated=2, due=12)
    credited(invoice, "20.00", dated=5)
    PaymentFactory(client=neap, received_on=day(7), reference="=NEAP")
    return {"since": "2026-11-01", "until": "2026-11-20", "currency": "GBP"}


def test_account_page_has_open_invoices_and_the_statement(web, neap, django_assert_max_num_queries):
    period = statement_of(neap)

    page = web.get(reverse("payments:account", args=[neap.pk]), period)

    assert page.context["statement"].closing == 30
    assert "overdue" in page.content.decode()


def test_account_page_takes_the_same_queries_for_three_as_for_one(
    web, neap, django_assert_num_queries
):
    address = reverse("payments:account", args=[neap.pk])
    asked(neap, "10.00", due=3)
    PaymentFactory(client=neap, received_on=day(7))
    web.get(address)
    with django_assert_num_queries(11):
        web.get(address)
    for _ in range(2):
        asked(neap, "10.00", due=3)
        PaymentFactory(client=neap, received_on=day(7))
    with django_assert_num_queries(11):
        web.get(address)


def test_statement_as_paper(web, neap):
    answer = web.get(reverse("payments:statement_pdf", args=[neap.pk]), statement_of(neap))

    text = text_of(answer.content)
    assert accessibility_errors(answer.content) == []
    assert (
        'filename="statement-neap-records-2026-11-01-2026-11-20.pdf"'
        in answer["Content-Disposition"]
    )
    for said in (
        "Statement of account",
        "Balance brought forward 0.00",
        "−20.00 80.00",
        "−50.00 30.00",
        "Balance to pay 30.00",
        "0.00 80.00 0.00 0.00 0.00 50.00",  # the payment is not used yet
    ):
        assert said in text


def rows_of(answer) -> list[list[str]]:
    return list(csv.reader(io.StringIO(b"".join(answer.streaming_content).decode("utf-8-sig"))))


def test_statement_as_csv(web, neap):
    answer = web.get(reverse("payments:statement_csv", args=[neap.pk]), statement_of(neap))

    head, *rows = rows_of(answer)
    assert head == ["on", "what", "currency", "amount", "balance"]
    assert [(row[0], row[3], row[4]) for row in rows] == [
        ("2026-11-02", "100.00", "100.00"),
        ("2026-11-05", "-20.00", "80.00"),
        ("2026-11-07", "-50.00", "30.00"),
    ]


def test_statement_goes_as_a_letter(web, neap):
    address = reverse("payments:send", args=[neap.pk])
    period = "&".join(f"{name}={value}" for name, value in statement_of(neap).items())

    web.post(f"{address}?{period}")

    letter = Letter.objects.get()
    assert (letter.to, letter.subject) == (
        "office@neap.example",
        "Statement, Sun 1 Nov 2026 to Fri 20 Nov 2026",
    )
    assert "you owe 30.00 GBP, of which 30.00 GBP are overdue" in letter.text
    assert letter.files.get().content[:5] == b"%PDF-"


def test_overdue_invoice_is_reminded_of_once_and_no_longer_once_it_is_paid(web, neap):
    invoice = asked(neap, "100.00", due=12)
    address = reverse("payments:reminder", args=[invoice.pk])

    web.post(address)
    web.post(address)

    waiting = Letter.objects.waiting()
    assert [each.subject for each in waiting] == ["Overdue since Thu 12 Nov 2026: Invoice 1"]
    assert "100.00 GBP of it are still open" in waiting.get().text
    assert waiting.get().files.get().name == "invoice-1.pdf"

    web.post(reverse("payments:create", args=[neap.pk]), typed())

    assert not Letter.objects.waiting().exists()


def test_of_an_invoice_that_is_credited_meanwhile_nobody_is_reminded(web, neap, manager):
    disk = OtherLine("A disk", Decimal(100), Decimal(20))
    with time_machine.travel("2026-11-01T10:00Z", tick=False):
        invoice = issue_invoice(neap, other=[disk], currency="GBP", due_on=day(12), by=manager)
    web.post(reverse("payments:reminder", args=[invoice.pk]))
    line = invoice.lines.get()

    issue_credit_note(invoice, amounts={line.pk: line.net / 2}, note="A part", by=manager)
    assert Letter.objects.waiting().exists()
    issue_credit_note(invoice, note="The rest", by=manager)

    assert not Letter.objects.waiting().exists()


@pytest.mark.parametrize(
    ("due", "email", "message"),
    [(28, "office@neap.example", "is not overdue"), (12, "", "has no e-mail address")],
)
def test_reminder_that_cannot_be_written_says_why(web, due, email, message):
    invoice = asked(ClientFactory(email=email), "100.00", due=due)

    answer = web.post(reverse("payments:reminder", args=[invoice.pk]), follow=True)

    assert message in answer.content.decode()
    assert not Letter.objects.exists()


def test_list_of_payments_and_its_csv_say_the_same(web, neap):
    PaymentFactory(client=neap, reference="=NEAP")
    PaymentFactory()
    address = {"q": "neap"}

    page = web.get(reverse("payments:list"), address)
    head, row = rows_of(web.get(reverse("payments:list"), address | {"csv": 1}))

    assert [each.record.client for each in page.context["table"].rows] == [neap]
    assert (
        dict(zip(head, row, strict=True)).items()
        >= {
            "client": "Neap Records",
            "reference": "'=NEAP",
            "amount": "50.00",
            "credit left": "50.00",
        }.items()
    )


@pytest.mark.parametrize(
    ("kind", "amounts"),
    [("payment", ["60.00"]), ("refund", ["-5.00"]), ("free", ["60.00"])],
)
def test_payments_by_kind(web, neap, kind, amounts):
    PaymentFactory(client=neap, amount=60)
    PaymentFactory(client=neap, amount=-5)

    rows = web.get(reverse("payments:list"), {"kind": kind}).context["table"].rows

    assert [f"{each.record.amount:.2f}" for each in rows] == amounts


def test_accountant_has_every_list_with_what_its_columns_mean(web, neap):
    invoice = asked(neap, "100.00", dated=2)
    credited(invoice, "20.00", dated=5)
    PaymentFactory(client=neap, received_on=day(7))
    period = {"since": "2026-11-01", "until": "2026-11-30"}

    page = web.get(reverse("payments:accountant"), period)
    lists = {
        name: rows_of(web.get(reverse("payments:accountant_csv", args=[name]), period))
        for name, *_ in page.context["lists"]
    }

    assert {name: len(rows) - 1 for name, rows in lists.items()} == {
        "invoices": 2,
        "lines": 0,
        "tax": 2,
        "payments": 1,
        "used": 0,
    }
    for name, _, columns in page.context["lists"]:
        assert lists[name][0] == [column for column, _ in columns]
        assert all(meaning for _, meaning in columns)
    totals = [row[lists["invoices"][0].index("total")] for row in lists["invoices"][1:]]
    assert totals == ["100.00", "-20.00"]


def test_panel_of_a_client_is_for_those_who_see_money(client_of, manager, engineer, neap):
    asked(neap, "100.00", due=12)
    page = reverse("clients:detail", args=[neap.pk])

    assert "Of that overdue" in client_of(manager).get(page).content.decode()
    assert "Of that overdue" not in client_of(engineer).get(page).content.decode()
