"""The measuring of a page of many chains; never how long anything took."""

import json

import pytest
from django.db import connection

from sessions.setups.models import Stage
from studio.bench.filling import fill, furnished
from studio.bench.setup_filling import CONTROLS, STAGES, filled_setup
from studio.bench.setup_works import saving
from studio.bench.setups import same_queries, setup_ratios
from tests.bench.running import bench


def test_ratios_hold_medians_against_their_goals():
    times = {
        "read": [1.0, 2.0, 9.0],
        "read, bare SQL": [0.2],
        "page": [50.0],
        "save": [4.0],
        "save, bare SQL": [0.2],
    }

    assert [(each.what, each.value, each.met) for each in setup_ratios(times)] == [
        ("read / read, bare SQL", 10.0, True),
        ("page / read, bare SQL", 250.0, False),
        ("save / save, bare SQL", 20.0, False),
    ]


def test_same_queries_sees_a_page_that_asks_more_for_more_chains():
    assert same_queries({"page of 2 chains": 5, "page of 10 chains": 5})
    assert not same_queries({"page of 2 chains": 5, "page of 10 chains": 13})


@pytest.mark.django_db
def test_save_changes_every_control_of_the_filled_setup():
    house = furnished()
    fill(house, 1)
    setup = filled_setup(house, house.projects[0].recording_sessions.get(), 2)
    save = saving(house, setup)

    save()
    save()

    stages = Stage.objects.filter(revision__chain__setup=setup)
    assert stages.count() == 2 * STAGES
    assert {value for stage in stages for value in stage.settings.values()} == {20}
    assert all(len(stage.settings) == CONTROLS for stage in stages)


@pytest.mark.django_db
def test_bench_setups_prints_ratios_and_leaves_nothing_behind(tmp_path):
    printed, _ = bench(tmp_path, "setups", "--rounds", "1", "--json")

    found = json.loads(printed)
    assert [each["goal"] for each in found["ratios"]] == [10, 200, 10]
    assert all(each["ratio"] > 0 for each in found["ratios"])
    assert found["same_queries"]
    assert found["engine"] == connection.vendor
