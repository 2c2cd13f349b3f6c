"""Somebody who has the file that a recall sheet carries sets every control as it was."""

import json
from dataclasses import replace

import pytest
from django.urls import reverse

from gear.equipment.models import Unit
from sessions.recall.sheet.patch_data import patch_list_of
from sessions.setups.headphones.listening import HeardMix, mixes_of
from sessions.setups.models import Path, Stage
from studio.demo.equipment import fill_equipment
from tests.factories import PartFactory, StageFactory, TakeFactory
from tests.printed import enclosed_in, text_of
from tests.sessions.recall.patched import patched_vocal, sheet_of
from tests.sessions.recall.recorded import chain_of, record

pytestmark = pytest.mark.django_db

SETTINGS = {
    "MV-01": {},
    "SU-01": {"mains": 1, "pattern": 2},
    "PR-01": {"48-v": 0, "polarity": 1, "gain": 33.5, "low-cut": 110},
    "EQ-01": {"low-gain": 2.5, "middle-frequency": 2200, "high-gain": -3, "equaliser": 1},
    "CO-01": {"threshold": -10, "ratio": 4, "attack": 10, "gain-reduction": 3, "compressor": 1},
    "MX-01": {"trim": 6, "fader": -10, "level": -6},
    "AD-01": {"full-scale": 18},
}


@pytest.fixture
def song():
    fill_equipment()
    part = PartFactory(name="Lead vocal")
    chain = chain_of(part)
    for position, tag in enumerate(SETTINGS, 1):
        unit = Unit.objects.select_related("model").get(asset_tag=tag)
        StageFactory(
            revision=chain,
            position=position,
            unit=unit,
            panel=unit.model.current_panel(),
            path=Path.MONITOR_ONLY if tag == "MX-01" else Path.PRINTED,
            settings=SETTINGS[tag],
        )
    record(TakeFactory(part=part, circled=True), chain)
    return part.song


def in_database():
    return {stage.unit.asset_tag: stage.settings for stage in Stage.objects.for_list()}


@pytest.fixture
def pdf(client_of, engineer, song):
    return client_of(engineer).get(reverse("recall:song_pdf", args=[song.pk])).getvalue()


def test_settings_come_back_from_what_the_paper_carries(pdf):
    (chain,) = json.loads(enclosed_in(pdf)["recall.json"])["chains"]

    rebuilt = {stage["unit"]["asset_tag"]: stage["settings"] for stage in chain["stages"]}

    assert rebuilt == in_database()


def in_order(text: str, words) -> bool:
    """Whether the words stand in the text one after the other, whatever stands between them."""
    place = 0
    for word in words:
        place = text.find(word, place) + 1
        if not place:
            return False
    return True


def test_cords_and_headphones_come_back_from_what_the_paper_carries(client_of, engineer):
    patched = patched_vocal()
    pdf = client_of(engineer).get(reverse("recall:song_pdf", args=[patched.song_id])).getvalue()
    imported = json.loads(enclosed_in(pdf)["recall.json"])
    sheet = sheet_of(patched)

    rebuilt = patch_list_of(imported["chains"][0]["patch_list"])

    wanted = sheet.chains[0].patching.patch_list
    assert [words_of(link) for link in rebuilt.links] == [words_of(link) for link in wanted.links]
    assert [use.tie_line for use in rebuilt.tie_lines] == ["Loft, box 1 1"]
    text = text_of(pdf)
    assert in_order(
        text, ["Patch list", *(word for cord in wanted.cords for word in ends_of(cord))]
    )
    assert in_order(text, ["Loft, box 1 1", "breaks the full normal", "goes on feeding"])
    [heard] = imported["headphones"]
    assert tuple(map(HeardMix.from_json, heard["mixes"])) == tuple(
        replace(mix, pk=None)
        for mix in mixes_of([patched.revisions.get().chain.setup_id]).popitem()[1]
    )
    assert in_order(
        text, ["Headphones", "Singer", "Alto voice: 0 dB", "84.5 dB(A)", "Dry, please."]
    )
    assert in_order(text, ["94.0 dB SPL at the microphone", "−31.8 – – 36.0"])


def ends_of(link) -> list[str]:
    """As the sheet says it: from which jack to which, or what is plugged in directly."""
    return [end.jack.name if end.jack else end.name for end in link.ends]


def words_of(link) -> list[str]:
    """From what, at which jack, to what, at which jack, how."""
    ends = [
        word
        for end in (link.source, link.destination)
        for word in (end.name, end.jack.name if end.jack else "direct cable")
    ]
    return [*ends, link.destination.path]
