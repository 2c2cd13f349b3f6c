"""Photographs on the recall sheet, in its data, in a comparison and in a rebuild."""

import json

import pytest
from django.urls import reverse
from jsonschema import Draft202012Validator

from gear.panels.reading import PHOTOGRAPHED
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import recall_data
from sessions.recall.sheet.schema import SCHEMA_FILE
from sessions.setups.chains.actions import Seen, change_stage
from sessions.setups.comparing.comparison import compare
from sessions.setups.models import Photo, Revision, Subject
from sessions.songs.models import Song
from tests.factories import (
    ControlFactory,
    PhotoFactory,
    StageFactory,
    TakeFactory,
)
from tests.printed import accessibility_errors, text_of
from tests.sessions.recall.recorded import chain_of, record
from tests.sessions.recall.said import pdf_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def stage(part, session):
    """Gain logged, tone on a photograph; take 1 went through it."""
    revision = chain_of(part, session=session)
    stage = StageFactory(revision=revision, settings={"gain": 30}, unit__asset_tag="P-01")
    for position, key in enumerate(("gain", "tone", "level"), 1):
        facts = {"label": key.capitalize(), "position": position}
        ControlFactory(panel=stage.panel, key=key, **facts)
    PhotoFactory(
        revision=revision,
        subject=Subject.UNIT,
        unit=stage.unit,
        about="P-01 preamplifier",
        caption="Seen from above",
        reads=["tone"],
        shown={stage.photo_key: {"gain": 30}},
    )
    PhotoFactory(setup=revision.chain.setup, subject=Subject.FLOOR, about="the whole floor")
    record(TakeFactory(part=part, session=session, circled=True), revision)
    return stage


def changed(stage, by, **settings):
    revision = Revision.objects.get(pk=stage.revision_id)
    return change_stage(stage, seen=Seen.of(revision), by=by, settings=settings)


def data_of(part) -> dict:
    song = Song.objects.select_related("project__client").get(pk=part.song_id)
    return recall_data(recall_sheet(song), studio="Quay Steps", address="https://studio.example/")


def test_sheet_shows_the_photographs_in_force_for_its_takes(client_of, engineer, stage, part):
    changed(stage, engineer, gain=36)

    paper = pdf_of(client_of(engineer), part.song)

    text = text_of(paper.getvalue())
    assert "Unit: P-01 preamplifier Seen from above" in text
    assert "Floor: the whole floor" in text
    assert "photographed, not logged" in text
    assert "changed since" not in text
    assert accessibility_errors(paper.getvalue()) == []


def test_data_names_the_photographs_without_holding_them(stage, part):
    photo = Photo.objects.get(subject=Subject.UNIT)

    data = data_of(part)

    (chain,) = data["chains"]
    (of_unit,), (of_floor,) = chain["photos"], data["photos"]
    assert list(Draft202012Validator(json.loads(SCHEMA_FILE.read_text())).iter_errors(data)) == []
    assert of_unit["sha256"] == photo.sha256
    assert (of_unit["subject"], of_unit["unit"], of_unit["about"]) == (
        "unit",
        "P-01",
        "P-01 preamplifier",
    )
    assert of_unit["file"] == photo.file.name.removeprefix("photos/")
    assert of_floor["subject"] == "floor"
    assert chain["stages"][0]["photographed"] == ["tone"]
    assert chain["stages"][0]["settings"] == {"gain": 30}


def test_take_through_a_later_revision_is_told_that_the_photograph_is_of_an_earlier_one(
    engineer, stage, part, session
):
    """take 1: r1 (photographed, gain 30)      take 2: r2 (gain 36)"""
    second = changed(stage, engineer, gain=36).revision
    record(TakeFactory(part=part, session=session, number=2, circled=True), second)

    chains = data_of(part)["chains"]

    told = [
        (photo["earlier_revision"], photo["changed_since"])
        for chain in chains
        for photo in chain["photos"]
    ]
    assert told == [(None, []), (1, ["Gain"])]


def test_comparison_says_what_is_photographed(engineer, stage):
    """r1: tone photographed      r2: tone logged"""
    second = changed(stage, engineer, gain=30, tone=4).revision

    before, after = (
        Revision.objects.with_stages().get(pk=pk) for pk in (stage.revision_id, second.pk)
    )
    (row,) = compare(before, after).rows

    assert (row.what, row.before) == ("Tone", PHOTOGRAPHED)


def test_rebuild_sends_to_the_photograph(client_of, engineer, stage, part):
    photo = Photo.objects.get(subject=Subject.UNIT)
    song = Song.objects.get(pk=part.song_id)
    client = client_of(engineer)
    client.post(reverse("rebuild:start", args=[song.pk]), {"chains": ["1"]})
    rebuild = song.rebuilds.get()
    rebuild.steps.update(unit=stage.unit, panel=stage.panel)

    (line,) = checklist_of(rebuild).stages
    html = client.get(reverse("rebuild:detail", args=[rebuild.pk])).content.decode()

    assert [(each.control.key, each.is_photographed) for each in line.controls] == [
        ("gain", False),
        ("tone", True),
        ("level", False),
    ]
    assert line.to_set == 1
    assert photo.get_absolute_url() in html
