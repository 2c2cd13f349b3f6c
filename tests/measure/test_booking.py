"""The measuring itself; never how long anything took."""

import json
import sys

import pytest
from django.db import connection

from studio.bench.booking import Measured, ratios, same_queries
from studio.bench.filling import fill, furnished
from studio.bench.prize import overlaps
from studio.bench.timing import interleaved
from studio.bench.works import clash_checks
from tests.bench.running import bench


def test_interleaved_takes_turns():
    done = []

    times = interleaved({"a": lambda: done.append("a"), "b": lambda: done.append("b")}, 3)

    assert done == ["a", "b", "b", "a", "a", "b"]
    assert [len(seconds) for seconds in times.values()] == [3, 3]
    assert min(times["a"] + times["b"]) > 0


def measured(sessions, *, check, week, queries=5):
    times = {
        "clash check, free": [check],
        "bare SQL, free": [2.0],
        "clash check, taken": [check],
        "bare SQL, taken": [2.0],
        "schedule week": [week],
        "admin change list": [2.0],
    }
    return Measured(sessions, times, {"schedule week": queries}, {})


def test_ratios_hold_medians_against_their_goals():
    found = ratios([measured(1_000, check=3.0, week=4.0), measured(2_000, check=4.0, week=4.1)])

    assert [(each.what, each.sessions, each.value, each.met) for each in found] == [
        ("clash check, free / the bare SQL", 1_000, 1.5, True),
        ("clash check, free / the bare SQL", 2_000, 2.0, False),
        ("clash check, taken / the bare SQL", 1_000, 1.5, True),
        ("clash check, taken / the bare SQL", 2_000, 2.0, False),
        ("schedule week / admin change list", 1_000, 2.0, True),
        ("schedule week / admin change list", 2_000, 2.05, False),
        ("clash check, free / the same at 1,000", 2_000, pytest.approx(4 / 3), False),
        ("clash check, taken / the same at 1,000", 2_000, pytest.approx(4 / 3), False),
    ]


def test_same_queries_sees_a_page_that_asks_more_of_a_larger_house():
    small = measured(1_000, check=1, week=1, queries=5)

    assert same_queries([small, measured(2_000, check=1, week=1, queries=5)])
    assert not same_queries([small, measured(2_000, check=1, week=1, queries=6)])


@pytest.mark.django_db
def test_fill_books_under_the_rules_what_the_check_then_finds():
    house = furnished()

    fill(house, 210)

    assert overlaps() == 0
    works, sql = clash_checks(house)
    assert works["clash check, free"]() == []
    assert {clash.resource for clash in works["clash check, taken"]()} == set(house.taken_by(0))
    assert (len(sql["free"]), len(sql["taken"])) == (1, 1)


@pytest.mark.django_db
def test_bench_booking_prints_ratios_and_leaves_nothing_behind(tmp_path):
    printed, _ = bench(tmp_path, "booking", "--sizes", "200", "210", "--rounds", "1", "--json")

    found = json.loads(printed)
    assert len(found["ratios"]) == 8
    assert all(each["ratio"] > 0 and each["goal"] in (1.3, 1.5, 2.0) for each in found["ratios"])
    assert found["same_queries_at_every_size"]
    assert "reservation" in found["sql"]["free"][0]
    assert found["engine"] == connection.vendor


@pytest.mark.django_db
def test_bench_booking_says_what_sizes_it_takes(tmp_path):
    _, complained = bench(tmp_path, "booking", "--sizes", "10", status=1)

    assert "200 or more" in complained


def test_admin_is_in_the_benchs_addresses_only():
    from django.conf import settings
    from django.urls import Resolver404, resolve

    assert not any(app.startswith("django.contrib.admin") for app in settings.INSTALLED_APPS)
    with pytest.raises(Resolver404):
        resolve("/admin/")
    assert "studio.bench.admin" not in sys.modules
