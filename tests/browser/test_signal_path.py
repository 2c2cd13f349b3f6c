"""Chains along their line from source to track, in a browser: how long the pages are, what is dashed
and what is solid, and that a finger meets what it presses."""

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from sessions.recall.rebuilds.actions import start_rebuild
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.wanted import chains_of_revisions
from sessions.setups.models import Chain, Path
from sessions.songs.models import Song
from studio.demo.band_inputs import INPUTS
from studio.demo.chains import make_chain
from studio.demo.equipment import fill_equipment
from tests.browser.browsing import TABLET, WIDE
from tests.browser.looking import FOR_A_FINGER, barriers, faint_words, sideways, small_targets
from tests.factories import PartFactory, SetupFactory, TakeFactory
from tests.sessions.recall.recorded import record
from tests.vocal import REVERBERATION, VOICE

pytestmark = pytest.mark.browser

SUNG = [*VOICE.stages, REVERBERATION]
PLAYED = [line for line in INPUTS if line.track in ("Cnt", "Euph")]


@pytest.fixture
def song(real_database, engineer) -> Song:
    """Three chains: a vocal that is compressed, with a reverberation
    that only the singer hears, and two players."""
    fill_equipment()
    song = PartFactory(name="Lead vocal").song
    setup = SetupFactory(session__project=song.project, name="Morning")
    for number, line in enumerate((replace(VOICE, stages=SUNG), *PLAYED), 1):
        line = replace(line, track=f"Tr {number}")
        chain = make_chain(setup, line, by=engineer, number=number)
        part = PartFactory(song=song, name=f"Part {number}")
        take = TakeFactory(part=part, session=setup.session, circled=True)
        record(take, chain.newest_revision())
    return song


def pages_of(song, engineer) -> dict[str, str]:
    loaded = Song.objects.select_related("project__client").get(pk=song.pk)
    revisions = [chain.revision for chain in recall_sheet(loaded).chains]
    rebuild = start_rebuild(song, chains=chains_of_revisions(revisions), by=engineer)
    vocal = Chain.objects.get(track="Tr 1")
    stage = vocal.newest_revision().stages.get(position=3)
    return {
        "recall": f"/songs/{song.pk}/recall-sheet/",
        "chain": vocal.get_absolute_url(),
        "editor": f"/chains/{vocal.pk}/settings/",
        "stage": f"/stages/{stage.pk}/edit/",
        "checklist": rebuild.get_absolute_url(),
    }


def height(page) -> int:
    return page.evaluate("document.documentElement.scrollHeight")


def test_pages_are_short_and_in_order_wide_and_for_a_finger(song, page_of, engineer):
    pages = pages_of(song, engineer)
    wide = page_of(engineer.username, viewport=WIDE)
    tablet = page_of(engineer.username, viewport=TABLET, has_touch=True)

    wrong, heights = [], {}
    for name, address in pages.items():
        wide.goto(address)
        tablet.goto(address)
        heights[name] = (height(wide), height(tablet))
        found = (
            sideways(wide) + barriers(wide) + sideways(tablet) + small_targets(tablet, FOR_A_FINGER)
        )
        tablet.emulate_media(color_scheme="dark")
        found += faint_words(tablet)
        tablet.emulate_media(color_scheme="light")
        wrong += [f"{name}: {each}" for each in found]

    assert not wrong, "\n".join(wrong)
    assert heights["recall"][0] < 5000
    assert heights["chain"][1] < 2500


def test_frame_and_way_are_dashed_where_only_monitored_and_solid_where_printed(
    song, page_of, engineer
):
    """As pixels: a line is drawn through, or has gaps."""
    pages = pages_of(song, engineer)
    page = page_of(engineer.username, viewport=WIDE)

    for name in ("recall", "chain", "editor", "checklist"):
        page.goto(pages[name])
        dark = (
            np.asarray(Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("L")) < 128
        )
        units = page.locator(".spine").first.locator("article.unit").all()
        frames = [ink_above(unit.bounding_box(), dark) for unit in units]

        for stage, ink in zip(SUNG, frames, strict=True):
            if stage.path == Path.MONITOR_ONLY:
                assert 0.3 < ink < 0.8, (name, stage.tag)
            else:
                assert ink > 0.99, (name, stage.tag)
        spine = page.locator(".spine").first.bounding_box()
        top, foot = (
            round(box["y"] + 40) for box in (units[0].bounding_box(), units[-1].bounding_box())
        )
        way = dark[top:foot, round(spine["x"]) : round(spine["x"]) + 4]
        assert way.all(axis=1).mean() > 0.8, name  # white only in the circles of the units


def ink_above(box, dark) -> float:
    """The share of ink in the top of a unit's frame."""
    top, left, right = (
        round(each) for each in (box["y"], box["x"] + 4, box["x"] + box["width"] - 4)
    )
    return float(dark[top - 1 : top + 3, left:right].mean(axis=1).max())
