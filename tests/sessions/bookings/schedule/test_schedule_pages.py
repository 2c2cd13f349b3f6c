"""The pages of the schedule, through the web."""

import pytest
from django.urls import reverse

from sessions.bookings.models import Status
from tests.factories import RoomFactory
from tests.sessions.bookings.days import booked

pytestmark = pytest.mark.django_db
SPANS = ["day", "week", "month"]


@pytest.mark.parametrize("span", SPANS)
@pytest.mark.parametrize("show", ["rooms", "people", "equipment"])
def test_smoke(client_of, manager, span, show):
    booked(manager)
    page = client_of(manager).get(reverse(f"schedule:{span}"), {"day": "2026-06-01", "show": show})
    assert page.status_code == 200
