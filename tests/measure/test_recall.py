"""The measuring itself; never how long anything took."""

from unittest.mock import Mock

import pytest

from sessions.recall.sheet.contents import recall_sheet
from sessions.songs.models import Song
from studio.bench.recall import memory_is_bounded, ratios
from studio.bench.recorded import recorded_song
from studio.bench.serving import fetching
from tests.bench.running import bench
from tests.factories import UserFactory


def measured(chains, *, sheet, megabytes=300.0, **others):
    times = {"sheet": [sheet], "kept": [0.004], "static file": [0.002], **others}
    return {
        "chains": chains,
        "controls": 58 * chains,
        "times": times,
        "megabytes": megabytes,
    }


def test_ratios_hold_medians_against_their_goals_where_both_were_measured():
    with_browser = {"without drawings": [2.0], "Chromium, cold": [3.0]}

    found = list(
        ratios(
            [
                measured(1, sheet=2.5, **with_browser),
                measured(4, sheet=3.5, **{"without drawings": [2.0]}),
            ]
        )
    )

    assert [(each.what, each.chains, each.met) for each in found] == [
        ("sheet / without drawings", 1, True),
        ("sheet / without drawings", 4, False),
        ("sheet / Chromium, cold", 1, True),
        ("kept / static file", 1, True),
        ("kept / static file", 4, True),
    ]


def test_memory_is_bounded_by_the_largest_sheet():
    assert memory_is_bounded([measured(1, sheet=1), measured(12, sheet=1, megabytes=1000)])
    assert not memory_is_bounded([measured(12, sheet=1, megabytes=1100)])


@pytest.mark.parametrize(("status", "page"), [(302, b"%PDF"), (200, b"%P")])
def test_only_whole_sheets_are_timed(status, page):
    connection = Mock()
    connection.getresponse().status = status
    connection.getresponse().read.return_value = page
    fetch = fetching(connection, "/recall/songs/1/sheet.pdf", {}, length=4)

    with pytest.raises(RuntimeError, match=f"/recall/songs/1/sheet.pdf answered {status}"):
        fetch()


@pytest.mark.django_db
def test_recorded_song_has_so_many_chains_with_controls_of_every_kind():
    song = recorded_song(2, by=UserFactory())

    sheet = recall_sheet(Song.objects.select_related("project__client").get(pk=song.pk))

    assert [len(chain.takes) for chain in sheet.chains] == [1, 1]
    settings = [
        setting
        for stage in sheet.chains[0].stages
        for group in stage.groups
        for setting in group.controls
    ]
    assert len(settings) == 58
    assert {setting.control.kind for setting in settings} == {
        "continuous",
        "stepped",
        "switch",
        "slider",
        "reading",
    }
    assert {setting.reading.logged for setting in settings} == {True, False}


@pytest.mark.django_db
def test_bench_recall_says_what_it_takes(tmp_path):
    _, complained = bench(tmp_path, "recall", "--rounds", "0", status=1)

    assert "1 or more" in complained
