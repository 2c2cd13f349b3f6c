"""The measuring of bookings; never how long anything took."""

import sys

import pytest
from django.conf import settings
from django.urls import Resolver404, resolve

from tests.measure.booking import clash_checks
from tests.measure.fill.calendar import Calendar
from tests.measure.fill.house import furnish
from tests.measure.prize import gaps, overlaps
from tests.measure.running import measure


@pytest.mark.django_db
def test_sessions_are_booked_under_the_rules_and_the_check_finds_them():
    calendar = Calendar(furnish())

    calendar.book(200)
    calendar.book(10)

    assert (overlaps(), gaps()) == (0, 0)
    checks = clash_checks(calendar)
    assert checks["clash check, free"]() == []
    found = {clash.resource for clash in checks["clash check, taken"]()}
    assert found == set(calendar.house.booths[0].taken)


@pytest.mark.django_db
def test_booking_prints_ratios_of_every_size_and_leaves_nothing_behind(tmp_path):
    printed, _ = measure(tmp_path, "booking", "--sizes", "210", "200", "--rounds", "1")

    assert [line.split("  ")[0] for line in printed.splitlines()] == [
        f"{ratio}, {size} sessions"
        for size in (200, 210)
        for ratio in (
            "clash check, free / bare SQL, free",
            "bare SQL, free / one row by its key",
            "clash check, taken / bare SQL, taken",
            "bare SQL, taken / one row by its key",
            "schedule week / admin change list",
        )
    ]


@pytest.mark.django_db
def test_booking_says_what_sizes_it_takes(tmp_path):
    _, complained = measure(tmp_path, "booking", "--sizes", "10", status=2)

    assert "200 or more" in complained


def test_admin_is_in_the_addresses_of_measures_only():
    assert not any(app.startswith("django.contrib.admin") for app in settings.INSTALLED_APPS)
    with pytest.raises(Resolver404):
        resolve("/admin/")
    assert "tests.measure.admin" not in sys.modules
