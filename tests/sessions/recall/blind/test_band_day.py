"""Somebody who has nothing but the printed sheets of the demo's band day sets all of it up again: its
chains, channels, pairs and groups, every cord and every control, for each song and for parts of one."""

import pytest

from sessions.songs.models import Part, Song
from studio.demo.band_day import SONGS, band_day
from studio.demo.equipment import fill_equipment
from studio.demo.people import fill_people, fill_projects
from studio.demo.songs import fill_songs
from studio.demo.work import Work
from tests.sessions.recall.blind.held_against import not_rebuilt
from tests.sessions.recall.blind.printing import printed
from tests.sessions.recall.blind.sheet import read_sheet

pytestmark = pytest.mark.django_db

ROLLED = "Slow the Lantern"  # in which a threshold was moved in the middle of a take


@pytest.fixture
def day():
    fill_equipment()
    people = fill_people()
    projects = fill_projects(people)
    return band_day(Work(people, projects, fill_songs(projects, people)))


def test_songs_come_back_from_what_is_printed_alone(day):
    for song in Song.objects.select_related("project__client").filter(title__in=SONGS):
        sheet = read_sheet(printed(song))

        assert "\n".join(not_rebuilt(sheet, song)) == "", song
        assert len({(chain.source, chain.track) for chain in sheet.chains}) >= 15, song


def test_each_part_comes_back_from_its_own_sheet(day):
    parts = Part.objects.select_related("song__project__client").filter(
        song__title=ROLLED, takes__isnull=False
    )
    for part in parts.distinct():
        sheet = read_sheet(printed(part))

        assert "\n".join(not_rebuilt(sheet, part)) == "", part
        revisions = sorted(chain.revision for chain in sheet.chains if chain.track == "Bass DI")
        assert revisions == ([1, 2] if part.name == "Bass" else []), part
