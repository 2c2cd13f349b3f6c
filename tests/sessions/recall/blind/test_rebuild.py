"""Somebody who has nothing but the pages of a printed recall sheet, no attachment and no database, sets
a song of twelve chains up again: every cord, normal and direct cable, every placement, every control.

What they read is then held against the database.
"""

import pytest

from sessions.papers.pdf import PaperSize
from tests.sessions.recall.blind.database import harmed_and_needing, revisions_of
from tests.sessions.recall.blind.held_against import drawn_wrong, not_rebuilt
from tests.sessions.recall.blind.patch_list import phantom_by_input
from tests.sessions.recall.blind.pixels import pages_of
from tests.sessions.recall.blind.printing import printed
from tests.sessions.recall.blind.sheet import read_sheet
from tests.sessions.recall.blind.song import recorded_song

pytestmark = pytest.mark.django_db


def test_song_of_twelve_chains_comes_back_from_its_pages_alone():
    song = recorded_song()
    pdf = printed(song)

    sheet = read_sheet(pdf)

    assert "\n".join(not_rebuilt(sheet, song)) == ""
    assert "\n".join(drawn_wrong(sheet, song, pages_of(pdf))) == ""
    harmed, needing = harmed_and_needing(revisions_of(song).values())
    said = phantom_by_input(sheet.front)
    assert said.pop("never 48 V") == harmed
    assert set().union(*said.values()) == needing
    assert len({(chain.source, chain.track) for chain in sheet.chains}) == 12


def test_pages_of_other_sizes_say_the_same():
    song = recorded_song()
    for size in (PaperSize.A5, PaperSize.LETTER):
        assert "\n".join(not_rebuilt(read_sheet(printed(song, size)), song)) == "", size
