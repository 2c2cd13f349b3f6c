"""A quote that no longer fits what is booked says so, beside the difference."""

from datetime import timedelta

import pytest
from django.urls import reverse

from sessions.bookings.models import Status, WorkedHours
from sessions.money.actions import issue_paper
from sessions.money.models import PaperKind
from sessions.money.quotes import quote_doubt
from sessions.money.session_costs import SessionCosts
from tests.factories import TEN_O_CLOCK, ReservationFactory, WorkedHoursFactory
from tests.sessions.money.priced import loaded, priced_session

pytestmark = pytest.mark.django_db


@pytest.fixture
def quoted(manager):
    """216.00 for four hours."""
    session = priced_session()
    issue_paper(session, kind=PaperKind.QUOTE, by=manager)
    return session


def doubt(session) -> str:
    return quote_doubt(SessionCosts(loaded(session)))


def test_quote_fits_what_it_was_issued_for(quoted):
    assert doubt(quoted) == ""


@pytest.mark.parametrize(
    ("hours", "said"),
    [(6, "comes to 324.00 GBP now, 108.00 more than"), (3, "162.00 GBP now, 54.00 less than")],
)
def test_longer_or_shorter_session_says_the_difference(quoted, hours, said):
    type(quoted).objects.update(ends_at=quoted.starts_at + timedelta(hours=hours))

    assert said in doubt(quoted)


def test_same_total_with_other_hours_is_said_too(quoted):
    """3 h 45 min are billed as four hours."""
    type(quoted).objects.update(ends_at=quoted.starts_at + timedelta(hours=3, minutes=45))

    assert "the total is the same" in doubt(quoted)


def test_missing_price_and_missing_card_are_said(quoted):
    ReservationFactory(session=quoted)
    assert "some of that has no price now" in doubt(quoted)

    type(quoted).objects.update(rate_card=None)
    assert "no rate card is chosen now" in doubt(quoted)


@pytest.mark.parametrize("status", [Status.CANCELLED, Status.WRAPPED])
def test_over_session_has_no_doubt_of_its_quote(quoted, status):
    type(quoted).objects.update(status=status, ends_at=quoted.starts_at + timedelta(hours=6))

    assert doubt(quoted) == ""


def test_pages_of_the_session_say_it(web, quoted):
    type(quoted).objects.update(ends_at=quoted.starts_at + timedelta(hours=6))

    for page in (quoted.get_absolute_url(), reverse("money:session", args=[quoted.pk])):
        assert "Quote 1 no longer fits what is booked" in web.get(page).text


def test_page_of_the_session_says_its_price_to_managers_alone(client_of, manager, engineer, quoted):
    page = quoted.get_absolute_url()

    assert "216.00 GBP" in client_of(manager).get(page).text
    assert "216.00 GBP" not in client_of(engineer).get(page).text


def test_lockout_without_planned_hours_says_so_and_leads_there(web, time_machine):
    time_machine.move_to(TEN_O_CLOCK - timedelta(days=2))
    session = priced_session(lockout=True, status=Status.CONFIRMED)
    plan = reverse("bookings:hours", args=[session.pk])

    for page in (session.get_absolute_url(), reverse("money:session", args=[session.pk])):
        text = web.get(page).text
        assert "No hours are planned within" in text
        assert plan in text

    WorkedHoursFactory(
        session=session,
        kind=WorkedHours.Kind.PLANNED,
        starts_at=session.starts_at,
        ends_at=session.ends_at,
    )
    assert "No hours are planned within" not in web.get(session.get_absolute_url()).text
