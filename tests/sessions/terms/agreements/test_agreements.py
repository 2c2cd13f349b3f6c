"""What the house, a client or a project has agreed, and what sessions start with."""

import pytest
from django.urls import reverse

from sessions.bookings.actions import book_session
from sessions.bookings.models import Status
from sessions.terms.agreements.agreed import DUE_DAYS, agreed_for, agreed_with
from sessions.terms.agreements.models import Agreement
from tests.factories import (
    TEN_O_CLOCK,
    AgreementFactory,
    CancellationTermsFactory,
    ProjectFactory,
    RateCardFactory,
    RoomFactory,
)

pytestmark = pytest.mark.django_db


def test_narrowest_that_says_something_counts():
    """house: card, terms, 14 days; client: terms; project: card."""
    project = ProjectFactory()
    house = AgreementFactory(cancellation_terms=CancellationTermsFactory(), due_days=14)
    of_client = AgreementFactory(
        client=project.client, rate_card=None, cancellation_terms=CancellationTermsFactory()
    )
    own = AgreementFactory(project=project)

    agreed = agreed_for(project)

    assert (agreed.rate_card, agreed.cancellation_terms, agreed.due_days) == (
        own.rate_card,
        of_client.cancellation_terms,
        14,
    )
    assert agreed_with(project.client).rate_card == house.rate_card
    assert agreed_for(ProjectFactory()).cancellation_terms == house.cancellation_terms


def test_due_on_the_same_day_is_agreed_too():
    project = ProjectFactory()
    AgreementFactory(due_days=14)
    AgreementFactory(client=project.client, due_days=0)

    assert agreed_for(project).due_days == 0


def test_nothing_is_agreed_at_first():
    agreed = agreed_for(ProjectFactory())

    assert (agreed.rate_card, agreed.cancellation_terms, agreed.due_days) == (None, None, DUE_DAYS)


def test_retired_card_counts_for_no_new_session():
    project, house = ProjectFactory(), AgreementFactory()
    AgreementFactory(project=project, rate_card=RateCardFactory(retired=True))

    assert agreed_for(project).rate_card == house.rate_card


def test_session_starts_with_what_was_agreed_unless_told_otherwise(manager):
    project, terms = ProjectFactory(), CancellationTermsFactory()
    agreement = AgreementFactory(client=project.client, cancellation_terms=terms)
    other = RateCardFactory()

    def booked(**facts):
        return book_session(
            project,
            title="Overdubs",
            starts_at=TEN_O_CLOCK,
            ends_at=TEN_O_CLOCK.replace(hour=TEN_O_CLOCK.hour + 4),
            status=Status.ENQUIRY,
            rooms=[RoomFactory()],
            all_the_same=True,
            by=manager,
            **facts,
        )

    usual, told = booked(), booked(rate_card=other)
    assert (usual.rate_card, usual.cancellation_terms) == (agreement.rate_card, terms)
    assert (told.rate_card, told.cancellation_terms) == (other, terms)


@pytest.mark.parametrize("of", ["house", "client", "project"])
def test_agreement_is_made_and_changed_on_its_page(web, of):
    project, card = ProjectFactory(), RateCardFactory()
    key = {"house": [], "client": [project.client_id], "project": [project.pk]}[of]
    page = reverse(f"terms:agreed_{of}", args=key)

    assert not Agreement.objects.exists()
    web.get(page)
    assert not Agreement.objects.exists()
    first = web.post(page, {"rate_card": card.pk, "due_days": "14", "seen": 1})
    again = web.post(page, {"rate_card": card.pk, "due_days": "7", "seen": 2})

    agreement = Agreement.objects.get()
    assert (first.status_code, again.status_code) == (302, 302)
    assert (agreement.rate_card, agreement.due_days) == (card, 7)
    assert agreed_for(project).due_days == 7


def test_second_editor_is_shown_what_the_first_agreed(web):
    client = ProjectFactory().client
    page = reverse("terms:agreed_client", args=[client.pk])
    web.post(page, {"due_days": "14", "seen": 1})

    answer = web.post(page, {"due_days": "60", "seen": 1})

    assert answer.status_code == 409
    assert answer.context["meanwhile"].differences == [("Invoices are due after", "14", "60")]
    assert Agreement.objects.get().due_days == 14


def test_too_many_days_are_refused_beside_the_field(web):
    answer = web.post(reverse("terms:agreed_house"), {"due_days": "366", "seen": 1})

    assert answer.context["form"].errors == {"due_days": ["Give 365 or less."]}


def test_pages_of_clients_and_projects_say_what_is_agreed_to_managers_alone(
    client_of, manager, engineer
):
    project = ProjectFactory()
    card = AgreementFactory(client=project.client).rate_card
    pages = [project.get_absolute_url(), project.client.get_absolute_url()]

    for page in pages:
        assert str(card) in client_of(manager).get(page).content.decode()
        assert str(card) not in client_of(engineer).get(page).content.decode()
