"""The measuring itself; never how long anything took."""

from unittest.mock import Mock

import pytest

from sessions.recall.sheet.contents import recall_sheet
from tests.measure.fill.house import furnish
from tests.measure.recall import fetching, recorded_song
from tests.measure.running import measure


def test_only_whole_answers_are_timed():
    connection = Mock()
    connection.getresponse().status = 302

    with pytest.raises(RuntimeError, match="/songs/1/recall-sheet.pdf answered 302"):
        fetching(connection, "/songs/1/recall-sheet.pdf", {}, wanted=200)()


@pytest.mark.django_db
def test_recorded_song_has_so_many_chains_with_controls_of_every_kind():
    song = recorded_song(furnish(rooms=1, chains=2), 2)

    sheet = recall_sheet(song)

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
def test_recall_says_what_it_takes(tmp_path):
    _, complained = measure(tmp_path, "recall", "--rounds", "0", status=2)

    assert "1 or more" in complained
