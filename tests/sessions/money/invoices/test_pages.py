"""Pages of invoices: what is chosen, shown, issued, credited and sent."""

import csv
import io
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.module_loading import import_string

from sessions.letters.models import Letter
from sessions.money.invoices.actions import issue_invoice
from sessions.money.invoices.models import Invoice
from tests.factories import ClientFactory, InvoiceFactory, InvoiceLineFactory, ProjectFactory
from tests.printed import accessibility_errors, text_of
from tests.sessions.money.invoices.billed import quote, work_order

pytestmark = pytest.mark.django_db

DUE = {"due_on": "2090-07-01", "currency": "GBP"}
NO_OTHER_LINES = {"other-TOTAL_FORMS": "0", "other-INITIAL_FORMS": "0"}


def other_line(**fields):
    line = {"what": "A disk", "quantity": "1", "net": "60,00", "tax_percent": "5"} | fields
    return {"other-TOTAL_FORMS": "1", "other-INITIAL_FORMS": "0"} | {
        f"other-0-{name}": value for name, value in line.items()
    }


@pytest.fixture
def paper(manager):
    return work_order(by=manager, title="Group vocals")


def create_page(paper):
    return reverse("invoices:create", args=[paper.session.project.client_id])


def test_what_is_to_be_billed_is_chosen_and_summed_up_at_first(client_of, manager, paper):
    page = client_of(manager).get(create_page(paper)).text

    assert "Group vocals" in page
    assert "216.00" in page
    assert not Invoice.objects.exists()


def test_a_preview_shows_what_would_be_issued_and_issues_nothing(client_of, manager, paper):
    typed = {"papers": paper.pk, **DUE, "do": "preview"} | other_line()

    page = client_of(manager).post(create_page(paper), typed).text

    assert "279.00" in page
    assert not Invoice.objects.exists()


def test_an_invoice_is_issued_as_chosen(client_of, manager, paper):
    typed = {"papers": paper.pk, **DUE, "note": "Thank you"}

    page = client_of(manager).post(
        create_page(paper), typed | other_line() | {"do": "issue"}, follow=True
    )

    invoice = Invoice.objects.get()
    assert (invoice.total, f"{invoice.due_on}") == (Decimal("279.00"), "2090-07-01")
    for said in ("Invoice 1 issued.", "Thank you", "VAT, 5 % of 60.00", "279.00 GBP"):
        assert said in page.text


@pytest.mark.parametrize(
    ("fields", "error"),
    [
        ({"net": ""}, "Enter the amount before tax"),
        ({"what": ""}, "Say what it is"),
        ({"tax_percent": ""}, "Enter the rate"),
        ({"net": "sixty"}, "number"),
    ],
)
def test_a_line_that_is_not_whole_is_asked_for_again(client_of, manager, paper, fields, error):
    typed = {"papers": paper.pk, **DUE, "do": "issue"} | other_line(**fields)

    page = client_of(manager).post(create_page(paper), typed).text

    assert error in page
    assert not Invoice.objects.exists()


def test_what_was_billed_meanwhile_is_refused_beside_the_choice(client_of, manager, paper):
    typed = {"papers": paper.pk, **DUE, "do": "issue"} | NO_OTHER_LINES
    issue_invoice(paper.session.project.client, papers=[paper], by=manager)

    page = client_of(manager).post(create_page(paper), typed).text

    assert "Something chosen was billed meanwhile" in page
    assert Invoice.objects.count() == 1


def test_what_is_issued_today_was_not_due_before(client_of, manager, paper):
    yesterday = timezone.localdate() - timedelta(days=1)
    typed = {"papers": paper.pk, "due_on": yesterday, "currency": "GBP", "do": "issue"}

    page = client_of(manager).post(create_page(paper), typed | NO_OTHER_LINES).text

    assert "This day is over" in page
    assert not Invoice.objects.exists()


@pytest.mark.parametrize("count", [1, 3])
def test_drafts_ask_as_much_however_many_sessions_are_billed(
    client_of, manager, count, django_assert_num_queries
):
    project = ProjectFactory()
    papers = [work_order(by=manager, project=project) for _ in range(count)]
    client = client_of(manager)

    with django_assert_num_queries(22):
        page = client.get(create_page(papers[0]))

    assert page.text.count('name="papers"') == count


def test_a_session_leads_to_its_invoice(client_of, manager, paper):
    client, page = client_of(manager), reverse("money:session", args=[paper.session_id])
    assert f"{create_page(paper)}?paper={paper.pk}" in client.get(page).text

    invoice = issue_invoice(paper.session.project.client, papers=[paper], by=manager)

    text = client.get(page).text
    assert invoice.get_absolute_url() in text
    assert "Invoice this" not in text


def test_a_deposit_is_asked_for_from_the_quote(client_of, manager):
    paper = quote(by=manager)
    client, page = client_of(manager), reverse("invoices:deposit", args=[paper.pk])
    assert page in client.get(reverse("money:session", args=[paper.session_id])).text
    assert 'value="108.00"' in client.get(page).text

    answer = client.post(page, {**DUE, "amount": "500"})
    assert "a deposit is no more than that" in answer.text

    assert (
        "Deposit invoice 1 issued."
        in client.post(page, {**DUE, "amount": "54.00"}, follow=True).text
    )
    assert Invoice.objects.get().total == Decimal("54.00")
    assert client.get(page).url == reverse("money:session", args=[paper.session_id])


def test_an_invoice_is_credited_in_part_and_then_the_rest(client_of, manager, paper):
    invoice = issue_invoice(paper.session.project.client, papers=[paper], by=manager)
    field = f"line_{invoice.lines.get().pk}"
    client, page = client_of(manager), reverse("invoices:credit", args=[invoice.pk])

    assert "180.00 GBP are left to credit" in client.post(page, {field: "200", "note": "x"}).text
    client.post(page, {field: "80", "note": "A broken string"})
    assert "Left to credit: 100.00 GBP." in client.get(page).text
    both = client.post(page, {"whole": "on", field: "100", "note": "All of it"}).text
    assert "Untick this, or leave the amounts empty." in both
    client.post(page, {"whole": "on", "note": "All of it"})

    assert client.get(page).url == invoice.get_absolute_url()
    assert [note.total for note in invoice.credit_notes.order_by("number")] == [
        Decimal("96.00"),
        Decimal("120.00"),
    ]


def test_an_invoice_goes_to_the_client_with_its_paper(client_of, manager):
    client = ClientFactory(email="desk@neap.example")
    invoice = InvoiceLineFactory(invoice__client=client).invoice

    answer = client_of(manager).post(reverse("invoices:send", args=[invoice.pk]), follow=True)

    assert "Invoice 1 goes to desk@neap.example." in answer.text
    letter = Letter.objects.get()
    assert letter.subject in answer.text
    assert invoice.get_absolute_url() in client_of(manager).get(letter.get_absolute_url()).text
    assert "Total: 120.00 GBP" in letter.text
    [file] = letter.files.all()
    assert "Total, GBP 120.00" in text_of(import_string(file.made_by)(file.made_of))


def test_an_invoice_without_an_address_is_not_sent(client_of, manager):
    invoice = InvoiceFactory(client__email="")

    answer = client_of(manager).post(reverse("invoices:send", args=[invoice.pk]), follow=True)

    assert "has no e-mail address" in answer.text


def test_an_invoice_on_paper(client_of, manager, paper):
    paper.session.project.client.address = "1 Ford Lane\nOakum"
    invoice = issue_invoice(paper.session.project.client, papers=[paper], by=manager)

    pdf = client_of(manager).get(reverse("invoices:pdf", args=[invoice.pk])).getvalue()

    text = text_of(pdf)
    assert accessibility_errors(pdf) == []
    for said in (
        "Invoice 1",
        "1 Ford Lane",
        "Work order 1: Group vocals",
        "4 h at 45.00, 180.00",
        "VAT, 20 % of 180.00 36.00",
        "Total, GBP 216.00",
    ):
        assert said in text


@pytest.mark.parametrize("count", [1, 3])
def test_the_list_asks_as_much_however_long_it_is(
    client_of, manager, count, django_assert_num_queries
):
    for _ in range(count):
        InvoiceFactory()
    client = client_of(manager)

    with django_assert_num_queries(4):
        page = client.get(reverse("invoices:list")).text

    assert page.count("120.00 GBP") == count
    assert page.count("unpaid") == count


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"q": "2"}, ["Invoice 2"]),
        ({"q": "fanfare"}, ["Credit note 1"]),
        ({"kind": "invoice", "sort": "invoice"}, ["Invoice 1", "Invoice 2", "Invoice 3"]),
        ({"since": "2050-01-01"}, []),
        ({"state": "open", "sort": "invoice"}, ["Invoice 1", "Invoice 2"]),
        ({"state": "overdue"}, ["Invoice 2"]),
        ({"state": "settled"}, ["Invoice 3"]),
    ],
)
def test_invoices_are_found(client_of, manager, asked, found):
    InvoiceFactory(client__name="Neap")
    InvoiceFactory(client__name="Spring", dated=date(2020, 6, 1))
    credited = InvoiceFactory(client__name="Ebb")
    InvoiceFactory(kind="credit_note", credits=credited, client__name="Fanfare Ltd")

    page = client_of(manager).get(reverse("invoices:list"), asked)

    assert [str(row.record) for row in page.context["table"].rows] == found


def test_invoices_as_csv_give_plain_figures(client_of, manager):
    InvoiceFactory(net=Decimal(1000), tax=Decimal(200), total=Decimal(1200), note="=1+1")

    answer = client_of(manager).get(reverse("invoices:list"), {"csv": ""})

    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    [row] = csv.DictReader(io.StringIO(text, newline=""))
    assert (row["kind"], row["number"], row["total"], row["note"]) == (
        "invoice",
        "1",
        "1200.00",
        "'=1+1",
    )


def test_only_managers_are_shown_a_clients_money(client_of, manager, engineer):
    invoice = InvoiceFactory()
    page = invoice.client.get_absolute_url()

    assert invoice.get_absolute_url() in client_of(manager).get(page).text
    assert invoice.get_absolute_url() not in client_of(engineer).get(page).text
