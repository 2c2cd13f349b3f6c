"""A work order is signed, stands, is overtaken, and is on the papers."""

import json
from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils.module_loading import import_string
from lxml import html

from sessions.bookings.models import Status
from sessions.letters.models import Letter
from sessions.money.actions import issue_paper
from sessions.money.drafting import PaperRefused
from sessions.money.models import MoneyPaper, OrderSignature, PaperKind
from sessions.money.session_costs import SessionCosts
from sessions.money.sign_off.actions import sign_work_order
from sessions.money.sign_off.standing import standing_order, with_doubts
from sessions.money.sign_off.statements import order_statement
from sessions.signing.forms import READ_AGAIN
from sessions.signing.statement import Statement
from tests.factories import OrderSignatureFactory, OvertimeFactory, SignatureFactory
from tests.factories.signing import LINES
from tests.printed import text_of
from tests.sessions.money.priced import loaded, priced_session, worked

pytestmark = pytest.mark.django_db
SIGNATURE = {"name": "Ebba Quarrell", "strokes": LINES}


@pytest.fixture
def order(manager):
    """Four hours at 45.00: 216.00 with tax."""
    session = priced_session(status=Status.WRAPPED)
    worked(session)
    paper = issue_paper(session, kind=PaperKind.WORK_ORDER, by=manager)
    return MoneyPaper.objects.select_related("session__project__client").get(pk=paper.pk)


def signed(order, by):
    return sign_work_order(order, read=order_statement(order), signature=SIGNATURE, by=by)


def one_hour_more(order):
    hours = order.session.worked_hours.get()
    hours.ends_at += timedelta(hours=1)
    hours.save()


def standing(order):
    return standing_order(SessionCosts(loaded(order.session)))


def test_order_is_signed_with_all_that_it_charges(order, engineer):
    given = signed(order, engineer).signature

    facts = dict(given.signed.facts)
    assert facts["Total, GBP"] == "216.00"
    assert facts["Hours worked"] == "Mon 1 Jun 2026: 4 h"
    assert given.signed.sentence == "I agree to this work order: 216.00 GBP in all."
    assert given.on_behalf_of == order.session.project.client.name
    assert standing(order).why_void == ""


def test_order_is_signed_once(order, engineer):
    signed(order, engineer)

    with pytest.raises(PaperRefused, match="is signed already"):
        signed(order, engineer)


def test_quote_is_not_signed(engineer):
    quote = issue_paper(priced_session(), kind=PaperKind.QUOTE, by=engineer)

    with pytest.raises(PaperRefused, match="Only a work order is signed"):
        sign_work_order(quote, read=None, signature=SIGNATURE, by=engineer)


def test_order_under_other_words_is_not_signed(order, engineer):
    with pytest.raises(PaperRefused) as refusal:
        sign_work_order(order, read=Statement("", (), ""), signature=SIGNATURE, by=engineer)

    assert refusal.value.messages == [READ_AGAIN]


def test_change_of_the_hours_voids_what_was_signed(order, engineer, manager):
    signed(order, engineer)
    one_hour_more(order)

    old = standing(order)
    assert old.signed
    assert "were changed since Work order 1 was issued" in old.why_void

    newer = issue_paper(order.session, kind=PaperKind.WORK_ORDER, by=manager)
    now = standing(order)
    assert (now.paper, now.signed, now.why_void) == (newer, None, "")


def test_order_that_was_overtaken_is_not_signed(order, engineer, manager):
    one_hour_more(order)

    with pytest.raises(PaperRefused, match="issue a new one and have that signed"):
        signed(order, engineer)

    issue_paper(order.session, kind=PaperKind.WORK_ORDER, by=manager)
    with pytest.raises(PaperRefused, match="Work order 2 was issued in place of Work order 1"):
        signed(order, engineer)


def test_overtime_that_is_voided_voids_the_order_that_names_it(order, engineer, manager):
    overtime = OvertimeFactory(session=order.session)
    paper = issue_paper(order.session, kind=PaperKind.WORK_ORDER, by=manager)
    assert "approved by Ebba Quarrell" in paper.as_issued["overtime"][0]["words"]
    assert standing(order).why_void == ""

    overtime.voided_at, overtime.voided_by = overtime.ends_at, manager
    overtime.save()

    assert standing(order).why_void


def test_other_words_of_the_session_do_not_void_it(order, engineer):
    """What is charged is what counts: not a new title."""
    signed(order, engineer)
    order.session.title = "Another title"
    order.session.save()

    assert standing(order).why_void == ""


def test_hours_after_the_agreed_time_stand_on_the_order(manager):
    session = priced_session(status=Status.WRAPPED)
    worked(session, hours=5)

    paper = issue_paper(session, kind=PaperKind.WORK_ORDER, by=manager)

    assert paper.as_issued["overtime"] == [
        {"words": "1 h after the agreed time: not approved", "signature": None}
    ]


def test_overtime_at_another_price_by_now_is_told(order):
    OvertimeFactory(session=order.session)
    [(_, doubt)] = with_doubts(SessionCosts(loaded(order.session)))
    assert doubt == ""

    order.session.rate_card.rates.update(amount=60)

    [(_, doubt)] = with_doubts(SessionCosts(loaded(order.session)))
    assert doubt.startswith("Approved at 54.00 GBP; it costs 72.00 GBP now")


def test_overtime_of_a_session_that_was_moved_is_told(order):
    OvertimeFactory(session=order.session)
    for field in ("starts_at", "ends_at"):
        setattr(order.session, field, getattr(order.session, field) + timedelta(days=1))
    order.session.save()

    [(_, doubt)] = with_doubts(SessionCosts(loaded(order.session)))

    assert doubt == "The session was moved after this was approved: void it."


def test_that_an_order_was_signed_never_changes():
    rows = OrderSignature.objects.filter(pk=OrderSignatureFactory().pk)

    with pytest.raises(IntegrityError, match="signature_kept"), transaction.atomic():
        rows.update(signature=SignatureFactory())
    with pytest.raises(IntegrityError, match="signature_kept"), transaction.atomic():
        rows._raw_delete(rows.db)


def test_engineer_enters_hours_issues_the_order_and_has_it_signed(client_of, engineer):
    session = priced_session(status=Status.WRAPPED)
    client = client_of(engineer)
    hours = {"starts_at": "2026-06-01T11:00", "ends_at": "2026-06-01T15:00"}
    client.post(reverse("sign_off:hours_create", args=[session.pk]), hours)

    to_sign = client.post(reverse("sign_off:issue", args=[session.pk]), follow=True)

    assert "I agree to this work order: 216.00 GBP in all." in to_sign.text
    [form] = html.fromstring(to_sign.content).xpath("//form[.//@name='signed_name']")
    fields = dict(form.form_values())
    fields |= {"signed_name": "Ebba Quarrell", "strokes": json.dumps(LINES)}
    page = client.post(to_sign.request["PATH_INFO"], fields, follow=True)
    assert "Work order 1 signed by Ebba Quarrell." in page.text
    assert html.fromstring(page.content).xpath("//*[@class='signature-drawn']")
    assert OrderSignature.objects.get().paper.session == session


def test_order_that_can_no_longer_be_signed_leads_back(client_of, engineer, order):
    signed(order, engineer)

    page = client_of(engineer).get(reverse("sign_off:sign", args=[order.pk]), follow=True)

    assert "Work order 1 is signed already." in page.text


def test_void_order_says_so_on_the_pages(client_of, engineer, manager, order):
    signed(order, engineer)
    one_hour_more(order)
    said = "The signature no longer counts"

    assert (
        said in client_of(engineer).get(reverse("sign_off:session", args=[order.session_id])).text
    )
    assert said in client_of(manager).get(reverse("money:session", args=[order.session_id])).text


@pytest.mark.parametrize("count", [1, 3])
def test_sign_off_costs_the_same_however_much_was_signed(
    client_of, engineer, order, count, django_assert_num_queries
):
    start = order.session.ends_at
    for number in range(count):
        begins = start + timedelta(hours=number)
        OvertimeFactory(
            session=order.session, starts_at=begins, ends_at=begins + timedelta(hours=1)
        )
    client = client_of(engineer)

    with django_assert_num_queries(8):
        page = client.get(reverse("sign_off:session", args=[order.session_id]))

    assert page.text.count("What was signed") == count


@pytest.mark.parametrize("role", ["manager", "mix_engineer"])
def test_other_roles(client_of, request, order, role):
    user = request.getfixturevalue(role)

    answer = client_of(user).get(reverse("sign_off:session", args=[order.session_id]))

    assert answer.status_code == {"manager": 200, "mix_engineer": 403}[role]


def printed(client, name, order) -> str:
    return text_of(client.get(reverse(name, args=[order.pk])).getvalue())


def test_papers_carry_what_was_signed(client_of, engineer, order):
    """The client's has no address of ours; the house's says on whose sign-in it was given."""
    signature = signed(order, engineer).signature
    client = client_of(engineer)

    clients = printed(client, "sign_off:work_order_pdf", order)
    house = printed(client, "sign_off:house_copy_pdf", order)

    assert "Ebba Quarrell" in clients
    assert "Ebba Quarrell" in house
    assert "testserver" not in clients
    assert signature.signed.fingerprint not in clients
    assert "testserver" in house
    assert f"sign-in of {engineer}" in " ".join(house.split())


def test_replaced_order_says_so_on_paper(client_of, engineer, manager, order):
    signed(order, engineer)
    one_hour_more(order)
    client = client_of(engineer)
    overtaken = printed(client, "sign_off:work_order_pdf", order)
    issue_paper(order.session, kind=PaperKind.WORK_ORDER, by=manager)

    replaced = printed(client, "sign_off:work_order_pdf", order)

    assert "Void: Hours, rates or overtime were changed since it was issued." in overtaken
    assert "Void: Work order 2 was issued in its place" in replaced


def test_report_says_what_was_signed_without_prices(client_of, mix_engineer, engineer, order):
    order.session.project.mix_engineers.add(mix_engineer.person)
    signed(order, engineer)
    OvertimeFactory(session=order.session)

    page = client_of(mix_engineer).get(reverse("reports:session", args=[order.session_id])).text

    assert "Work order 1" in page
    assert "Overtime Mon 1 Jun 2026, 15:00 to 16:00 (1 h)" in page
    assert "54.00" not in page
    assert "216.00" not in page


def test_client_is_sent_a_copy_with_the_order(client_of, engineer, order):
    client_of_session = order.session.project.client
    client_of_session.email = "sessions@neap.example"
    client_of_session.save()
    signed(order, engineer)

    page = client_of(engineer).post(reverse("sign_off:send", args=[order.session_id]), follow=True)

    assert "A copy goes to sessions@neap.example." in page.text
    letter = Letter.objects.get()
    assert "Total, GBP: 216.00" in letter.text
    assert "Signed by: Ebba Quarrell" in letter.text
    [file] = letter.files.all()
    assert (file.name, file.made_of) == ("work-order-1.pdf", order.pk)
    assert "Ebba Quarrell" in text_of(import_string(file.made_by)(file.made_of))


@pytest.mark.parametrize(
    ("email", "has_signed", "why"),
    [
        ("", True, "has no e-mail address"),
        ("sessions@neap.example", False, "Nothing was signed that still stands"),
    ],
)
def test_copy_that_cannot_be_sent_says_why(client_of, engineer, order, email, has_signed, why):
    client = order.session.project.client
    client.email = email
    client.save()
    if has_signed:
        signed(order, engineer)

    page = client_of(engineer).post(reverse("sign_off:send", args=[order.session_id]), follow=True)

    assert why in page.text
    assert not Letter.objects.exists()


def test_order_that_is_void_is_not_sent(client_of, engineer, order):
    client = order.session.project.client
    client.email = "sessions@neap.example"
    client.save()
    signed(order, engineer)
    one_hour_more(order)
    web = client_of(engineer)

    page = web.post(reverse("sign_off:send", args=[order.session_id]), follow=True)

    assert "Nothing was signed that still stands" in page.text
    assert "E-mail a copy" not in page.text
    assert not Letter.objects.exists()
