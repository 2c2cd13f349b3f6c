import csv
from datetime import UTC, datetime, timedelta
from io import StringIO

import pytest
from django.urls import reverse

from sessions.bookings.models import Status
from sessions.reports.usage.holds import holds_of_year
from tests.factories import RecordingSessionFactory

pytestmark = pytest.mark.django_db
JUNE = datetime(2026, 6, 10, tzinfo=UTC)


def went_through(*statuses, since=JUNE, **facts):
    """A session that came to each of these statuses in turn, a day apart."""
    session = RecordingSessionFactory(status=statuses[-1], **facts)
    for days, status in enumerate(statuses):
        session.status_steps.create(status=status, at=since + timedelta(days=days))
    return session


def test_each_hold_counts_once_by_what_became_of_it():
    went_through(Status.HELD, Status.CONFIRMED, Status.UNDER_WAY, Status.WRAPPED)
    went_through(Status.ENQUIRY, Status.HELD, Status.CONFIRMED, Status.CANCELLED)
    went_through(Status.HELD, Status.CONFIRMED, Status.HELD, Status.CONFIRMED)
    went_through(Status.HELD, Status.CANCELLED, lapsed_at=JUNE)
    went_through(Status.HELD, Status.CANCELLED)
    went_through(Status.HELD)
    went_through(Status.CONFIRMED)  # never held

    june = holds_of_year(2026)[0][5]

    assert (june.made, june.confirmed, june.lapsed, june.released, june.open) == (6, 3, 1, 1, 1)
    assert june.percent == 60


def test_hold_counts_in_the_month_on_the_studios_clock_in_which_it_was_first_made():
    """British Summer Time began before: midnight of 1 July there is 23:00 UTC of 30 June."""
    went_through(Status.HELD, Status.CONFIRMED, since=datetime(2026, 6, 30, 23, tzinfo=UTC))
    went_through(Status.HELD, since=datetime(2025, 12, 31, 23, 59, tzinfo=UTC))

    months, whole = holds_of_year(2026)

    assert [each.made for each in months] == [0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0]
    assert (whole.made, holds_of_year(2025)[1].made) == (1, 1)


def test_year_without_holds_is_said(client_of, manager):
    page = client_of(manager).get(reverse("usage:holds"), {"year": "2026"})

    assert "No hold was made in 2026." in page.text
    assert holds_of_year(2026)[1].percent is None


@pytest.mark.parametrize("rows", [1, 3])
def test_page_and_file_say_the_same_in_as_many_queries(
    client_of, manager, rows, django_assert_num_queries
):
    for _ in range(rows):
        went_through(Status.HELD, Status.CONFIRMED)
    client = client_of(manager)

    with django_assert_num_queries(3):
        page = client.get(reverse("usage:holds"), {"year": "2026"})
    file = client.get(reverse("usage:holds_csv"), {"year": "2026"}).getvalue()

    assert f"Jun {rows} of {rows}" in page.text
    june = list(csv.DictReader(StringIO(file.decode("utf-8-sig"))))[5]
    assert june == {
        "month": "2026-06",
        "made": str(rows),
        "confirmed": str(rows),
        "lapsed": "0",
        "released": "0",
        "open": "0",
        "per cent": "100",
    }
