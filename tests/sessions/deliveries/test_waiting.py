"""Where terms give files only after full payment, a delivery waits; a manager may allow it."""

from decimal import Decimal

import pytest
from django.urls import reverse

from sessions.bookings.models import Status
from sessions.deliveries.actions import release as allow
from sessions.deliveries.models import Delivery, DeliveryLink
from sessions.deliveries.payment import still_open, waits_for
from sessions.deliveries.rules import NotToBeSent
from sessions.letters.models import Letter
from sessions.money.actions import issue_paper
from sessions.money.invoices.actions import issue_invoice
from sessions.money.models import PaperKind
from sessions.money.payments.actions import record_payment
from tests.factories import CancellationTermsFactory
from tests.sessions.money.priced import loaded, priced_session, worked

pytestmark = pytest.mark.django_db


@pytest.fixture
def session(song):
    """Wrapped, 216.00 for four hours, with such terms; nothing is billed."""
    terms = CancellationTermsFactory(files_after_payment=True, grace_minutes=30)
    session = priced_session(project=song.project, status=Status.WRAPPED, cancellation_terms=terms)
    worked(session)
    return loaded(session)


@pytest.fixture
def waiting(session, send, engineer, hesper) -> Delivery:
    send(engineer, to=[hesper])
    return Delivery.objects.get()


def pay(session, manager, amount):
    """Bill the session where it is not, and pay so much."""
    client = session.project.client
    if not client.invoices.exists():
        paper = issue_paper(session, kind=PaperKind.WORK_ORDER, by=manager)
        issue_invoice(client, papers=[paper], by=manager)
    record_payment(
        client,
        amount=Decimal(amount),
        currency="GBP",
        received_on=client.invoices.get().dated,
        by=manager,
    )


def release(web, delivery, **typed):
    return web.post(reverse("deliveries:release", args=[delivery.pk]), typed)


def test_delivery_is_made_ready_and_nobody_is_written_to(waiting):
    assert (waiting.state, waiting.recipients.count()) == ("waiting", 1)
    assert not DeliveryLink.objects.exists()
    assert not Letter.objects.exists()


def test_what_is_open_is_said_step_by_step(session, manager):
    def said():
        return list(still_open(session.project).in_words)

    assert said() == [f"{session}, {session.period_in_words}: not billed yet."]
    paper = issue_paper(session, kind=PaperKind.WORK_ORDER, by=manager)
    assert said() == ["Work order 1: 216.00 GBP, not billed yet."]
    issue_invoice(session.project.client, papers=[paper], by=manager)
    [sentence] = said()
    assert sentence.startswith("Invoice 1: 216.00 GBP open, due ")
    pay(session, manager, "200.00")
    [sentence] = said()
    assert sentence.startswith("Invoice 1: 16.00 GBP open, due ")
    pay(session, manager, "16.00")
    assert waits_for(session.project) is None


def test_page_says_what_is_open_to_managers_alone(client_of, waiting, manager, engineer):
    page = waiting.get_absolute_url()

    assert "not billed yet" in client_of(manager).get(page).text
    of_engineer = client_of(engineer).get(page).text
    assert "not billed yet" not in of_engineer
    assert "A studio manager can allow it" in of_engineer


def test_engineer_sends_it_once_it_is_paid(client_of, waiting, session, engineer, manager):
    refused = release(client_of(engineer), waiting)
    assert (refused.url, Letter.objects.count()) == (waiting.get_absolute_url(), 0)
    pay(session, manager, "216.00")

    release(client_of(engineer), waiting)

    waiting.refresh_from_db()
    assert (waiting.state, waiting.released_by, waiting.released_why) == ("open", engineer, "")
    assert Letter.objects.get().to == "hesper@tholes.example"


def test_what_is_billed_since_the_page_was_opened_is_a_managers_to_allow(waiting, engineer):
    """The page let the engineer in while nothing was open."""
    with pytest.raises(NotToBeSent, match="ask a studio manager"):
        allow(waiting, why="Said so", address_of=str, by=engineer)

    assert Delivery.objects.get().waits


def test_manager_allows_it_before_and_says_why(client_of, waiting, manager):
    web = client_of(manager)

    missing = release(web, waiting).context["form"]
    release(web, waiting, why="They pay on Friday")

    assert missing.errors == {"why": ["This field is required."]}
    waiting.refresh_from_db()
    assert (waiting.state, waiting.released_why) == ("open", "They pay on Friday")
    assert waiting.history.first().released_by == manager
    assert "They pay on Friday" not in Letter.objects.get().text
    release(web, waiting, why="Twice")
    assert Letter.objects.count() == 1


def test_waiting_delivery_has_no_new_links_and_is_withdrawn_in_silence(client_of, waiting, manager):
    web = client_of(manager)
    again = reverse("deliveries:send_again", args=[waiting.recipients.get().pk])

    refused = web.post(again, {"until": "2099-01-01"})
    web.post(reverse("deliveries:withdraw", args=[waiting.pk]), {"tell": "on"})

    assert refused.status_code == 200
    waiting.refresh_from_db()
    assert waiting.state == "withdrawn"
    assert not Letter.objects.exists()
    assert not DeliveryLink.objects.exists()


def test_without_such_terms_it_goes_at_once(session, send, engineer, hesper):
    type(session.cancellation_terms).objects.update(files_after_payment=False)

    send(engineer, to=[hesper])

    assert Delivery.objects.get().state == "open"
    assert Letter.objects.count() == 1
