"""The overtime page on the tablet."""

import json
from datetime import timedelta

import pytest
from django.urls import reverse
from lxml import html

from sessions.bookings.models import RecordingSession, Status
from sessions.money.overtime.models import Overtime
from sessions.periods import typed
from sessions.signing.forms import READ_AGAIN
from tests.factories import (
    OvertimeFactory,
    RecordingSessionFactory,
    ReservationFactory,
)
from tests.factories.signing import LINES
from tests.sessions.money.priced import priced_session

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture
def session():
    return priced_session(status=Status.UNDER_WAY)


def page_of(client, session, hours=2, **asked):
    ends_at = typed(session.ends_at + hours * HOUR)
    return client.get(reverse("overtime:approve", args=[session.pk]), {"ends_at": ends_at, **asked})


def filled(page, **typed_in):
    """What the page's form sends, with a drawn signature."""
    [form] = html.fromstring(page.content).xpath("//form[.//@name='signed_name']")
    fields = dict(form.form_values())
    return fields | {"signed_name": "Ebba Quarrell", "strokes": json.dumps(LINES)} | typed_in


def test_engineer_has_overtime_signed_on_the_tablet(client_of, engineer, session):
    client = client_of(engineer)
    page = page_of(client, session)
    assert "108.00 GBP" in page.text

    answer = client.post(page.request["PATH_INFO"], filled(page), follow=True)

    overtime = Overtime.objects.get()
    assert (overtime.signature.name, overtime.signature.taken_by) == ("Ebba Quarrell", engineer)
    assert RecordingSession.objects.get().ends_at == overtime.ends_at
    assert "Overtime until Mon 1 Jun 2026, 17:00 approved by Ebba Quarrell." in answer.text


def test_press_twice_approves_once(client_of, engineer, session):
    client = client_of(engineer)
    page = page_of(client, session)
    fields = filled(page)

    first = client.post(page.request["PATH_INFO"], fields)
    second = client.post(page.request["PATH_INFO"], fields)

    assert first.url == second.url == reverse("sign_off:session", args=[session.pk])
    assert Overtime.objects.count() == 1


def test_unsigned_is_told_and_the_name_stays(client_of, engineer, session):
    client = client_of(engineer)
    page = page_of(client, session)

    again = client.post(page.request["PATH_INFO"], filled(page, strokes=""))

    assert "Sign in the box, or tick that the typed name is enough." in again.text
    assert again.context["form"]["signed_name"].value() == "Ebba Quarrell"
    assert not Overtime.objects.exists()


def test_price_that_rose_meanwhile_is_shown_and_nothing_is_signed(client_of, engineer, session):
    client = client_of(engineer)
    page = page_of(client, session)
    fields = filled(page)
    session.rate_card.rates.update(amount=60)

    again = client.post(page.request["PATH_INFO"], fields)

    assert READ_AGAIN in html.fromstring(again.content).text_content().replace("\n", " ")
    assert "144.00 GBP" in again.text
    assert not Overtime.objects.exists()


def test_time_that_is_taken_offers_what_is_free(client_of, engineer, session):
    """The next session's load-in begins an hour after: nothing is to be signed beyond."""
    other = RecordingSessionFactory(starts_at=session.ends_at + 2 * HOUR, title="Reeds")
    ReservationFactory(
        session=other,
        room=session.reservations.get().room,
        starts_at=session.ends_at + HOUR,
        before_minutes=60,
    )
    client = client_of(engineer)

    page = page_of(client, session)

    assert "is taken by “Reeds”" in page.text
    assert page.context["form"] is None
    until = typed(session.ends_at + HOUR)
    assert f"?ends_at={until.replace(':', '%3A')}" in page.text
    assert page_of(client, session, hours=1).context["form"] is not None


def test_end_before_the_agreed_time_is_told_beside_its_field(client_of, engineer, session):
    page = page_of(client_of(engineer), session, hours=-1)

    assert page.context["until"].errors == {
        "ends_at": ["The overtime ends after the agreed time. Over midnight, enter the next day."]
    }


def test_overtime_approved_anew_voids_the_old(client_of, engineer, session):
    client = client_of(engineer)
    page = page_of(client, session)
    client.post(page.request["PATH_INFO"], filled(page))
    old = Overtime.objects.get()
    session.rate_card.rates.update(amount=60)
    address = reverse("overtime:approve", args=[session.pk]) + f"?replaces={old.pk}"
    again = client.get(address + f"&ends_at={typed(old.ends_at)}")

    client.post(address, filled(again))

    old.refresh_from_db()
    new = Overtime.objects.standing().get()
    assert (old.void_reason, new.starts_at, f"{new.total}") == (
        "Approved anew",
        old.starts_at,
        "144.00",
    )


def test_void_asks_for_a_reason_and_shows_it(client_of, engineer):
    overtime = OvertimeFactory(session=priced_session(status=Status.WRAPPED))
    client = client_of(engineer)
    address = reverse("overtime:void", args=[overtime.pk])

    assert client.post(address, {"reason": ""}).context["form"].errors == {
        "reason": ["This field is required."]
    }
    page = client.post(address, {"reason": "The client left at eight"}, follow=True)

    assert "The client left at eight" in page.text
    assert html.fromstring(page.content).xpath("//del")


def test_who_may(client_of, engineer, assistant, mix_engineer, session):
    approve = reverse("overtime:approve", args=[session.pk])
    void = reverse("overtime:void", args=[OvertimeFactory(session=session).pk])

    assert [client_of(each).get(approve).status_code for each in (assistant, mix_engineer)] == [
        200,
        403,
    ]
    assert [client_of(each).get(void).status_code for each in (engineer, assistant)] == [200, 403]
