"""Somebody who has nothing but the printed sheets of the demo's band day sets all of it up again: its
chains, channels, pairs and groups, and every control, for each song and for each part of one."""

import re

import pytest
from django.utils import timezone

from gear.equipment.models import Unit
from sessions.papers.pdf import PaperSize, render_pdf
from sessions.recall.sheet.stored import TEMPLATE, contents
from sessions.setups.models import Arrangement, Path
from sessions.songs.models import Part, Song
from sessions.takes.models import TakePart
from studio.demo.band_day import SONGS, band_day
from studio.demo.equipment import fill_equipment
from studio.demo.people import fill_people, fill_projects
from studio.demo.songs import fill_songs
from studio.demo.work import Work
from tests.printed import text_of
from tests.sessions.recall.test_blind_rebuild import read_off

pytestmark = pytest.mark.django_db

ROLLED = "Slow the Lantern"  # in which a threshold was moved in the middle of a take
HEADING = re.compile(r"\d+ ([^\d→]+) →\s([^→]+)$")
STAGE = re.compile(r"\d+ ([A-Z]{2}-\d\d)(?:/(\d+))? [^→]{5,60}? · (printed|monitor only)")
GROUP = re.compile(r"In the (?:pair|group) (.+?)(?:, (left|right|mid|side))?: (.+?)\. ")


@pytest.fixture
def day():
    fill_equipment()
    people = fill_people()
    projects = fill_projects(people)
    return band_day(Work(people, projects, fill_songs(projects, people)))


def printed(subject) -> str:
    said = contents(subject, "http://testserver/")
    pdf = render_pdf(
        TEMPLATE,
        said.context,
        title="Recall sheet",
        base_url="http://testserver/",
        printed_at=timezone.now(),
        size=PaperSize.A4,
        enclosure=said.enclosure,
    )
    return text_of(pdf)


def rebuilt(text: str) -> dict:
    """What the words say, by source, track and revision: group, then unit by unit."""
    before, *blocks = text.split(" Recorded through it: ")
    found = {}
    for block in blocks:
        source, track = HEADING.search(before[-120:]).groups()
        number = int(re.search(r"Revision (\d+), ", block)[1])
        found[source, track, number] = (group_in(block), stages_in(block))
        before = block
    return found


def group_in(block: str):
    said = GROUP.search(block)
    if not said:
        return None
    name, seat, arranged = said.groups()
    [arrangement] = [each for each in Arrangement if arranged.startswith(name_of(each))]
    return (
        name,
        seat or "",
        arrangement,
        figure(arranged, " cm apart"),
        figure(arranged, "° between"),
    )


def name_of(arrangement) -> str:
    return arrangement.label.partition(":")[0].lower()


def figure(words: str, unit: str) -> float | None:
    found = re.search(rf"([\d.]+){unit}", words)
    return float(found[1]) if found else None


def stages_in(block: str) -> list:
    table = block.partition(" headroom ")[2]
    heads = list(STAGE.finditer(table))
    ends = [head.start() for head in heads[1:]] + [len(table)]
    return [
        (tag, channel and int(channel), path, settings_in(tag, table[head.end() : end]))
        for head, end in zip(heads, ends, strict=True)
        for tag, channel, path in [head.groups()]
    ]


def settings_in(tag: str, text: str) -> dict:
    panel = Unit.objects.select_related("model").get(asset_tag=tag).model.current_panel()
    controls = panel.controls.all() if panel else ()
    return read_off(text, {"controls": [control.facts() for control in controls]})


def in_database(parts) -> dict:
    """The same of all revisions behind the chosen takes of these parts, as they stand there."""
    revisions = {
        through.revision
        for each in parts.chosen().select_related("part", "take")
        for through in each.through()
    }
    return {
        (revision.chain.source.name, revision.chain.track, revision.number): (
            grouped(revision.chain),
            [
                (stage.unit.asset_tag, stage.channel, words_of(stage.path), stage.settings)
                for stage in revision.stages.select_related("unit")
            ],
        )
        for revision in revisions
    }


def grouped(chain):
    group = chain.group
    if not group:
        return None
    figures = (group.spacing_cm, group.included_angle_deg)
    return (group.name, chain.seat, group.arrangement, *(each and float(each) for each in figures))


def words_of(path: str) -> str:
    return "printed" if path == Path.PRINTED else "monitor only"


def test_songs_come_back_from_what_is_printed_alone(day):
    for song in Song.objects.select_related("project__client").filter(title__in=SONGS):
        found = rebuilt(printed(song))

        assert found == in_database(TakePart.objects.filter(take__song=song)), song
        assert len({chain[:2] for chain in found}) >= 15, song
        arrangements = {group[2] for group, _ in found.values() if group}
        assert arrangements == {"group", "spaced", "mid_side"}, song
    assert Song.objects.filter(title__in=SONGS).count() == len(SONGS) == 3


def test_each_part_comes_back_from_its_own_sheet(day):
    parts = Part.objects.select_related("song__project__client").filter(
        song__title=ROLLED, takes__isnull=False
    )
    for part in parts.distinct():
        found = rebuilt(printed(part))

        assert found == in_database(part.take_parts.all()), part
        revisions = sorted(number for _, track, number in found if track == "Bass DI")
        assert revisions == ([1, 2] if part.name == "Bass" else []), part
