"""Logging takes: one key, not while somebody types, and by hand where no script runs."""

import pytest

from sessions.takes.actions import note_take
from sessions.takes.models import Mark
from tests.browser.browsing import TABLET
from tests.browser.forms import has_value, press, sees, strike
from tests.factories import (
    ChainFactory,
    LyricLineFactory,
    PartFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SectionFactory,
    TakeFactory,
)

pytestmark = pytest.mark.browser


@pytest.fixture
def tracking(page_of, engineer):
    """`tracking()`: the takes page of a session with one part and a chain for it, and the part."""

    def open_page(**options):
        part = PartFactory(name="Lead vocal")
        chain = ChainFactory(part=part, setup__session__project=part.song.project)
        RevisionFactory(chain=chain)
        page = page_of(engineer.username, **options)
        page.goto(
            f"/sessions/{chain.setup.session.pk}/takes/?song={part.song_id}&part={part.pk}&setup={chain.setup.pk}"
        )
        return page, part

    return open_page


def open_and_ready(tracking, **options):
    page, part = tracking(**options)
    page.wait_for_selector("[data-tracking][data-ready]")
    return page, part


def test_take_rolls_by_one_key_without_a_page_load_and_its_mark_ends_it(tracking):
    page, part = open_and_ready(tracking)
    loads = []
    page.on("framenavigated", lambda frame: loads.append(frame.url))

    strike(page, "t")
    sees(page, "take 1 rolling", "Rolling since")
    strike(page, "l")
    sees(page, "Take 1: long false start")

    take = part.takes.get()
    assert (part.take_parts.get().mark, take.is_rolling) == (Mark.LONG_FALSE_START, False)
    assert take.started_at <= take.ended_at
    assert take.revisions.get().is_fixed
    assert loads == []


def test_page_fits_a_tablet_and_scrolls_sideways_nowhere(tracking):
    page, part = tracking(viewport=TABLET)
    session = RecordingSessionFactory(project=part.song.project)
    TakeFactory.create_batch(6, part=part, session=session, note="breath in bar 12")
    page.reload()
    strike(page, "t")
    sees(page, "rolling", "All of the song")

    beyond = page.evaluate(
        """() => {
          const { scrollWidth, clientWidth, scrollHeight, clientHeight } = document.documentElement;
          return [scrollWidth > clientWidth, scrollHeight > clientHeight];
        }"""
    )
    assert beyond == [False, False]


def test_mark_after_a_finished_take_marks_that_take_and_undo_takes_it_back(tracking):
    page, part = open_and_ready(tracking)
    strike(page, "t")
    strike(page, "e")
    sees(page, "Take 1 ended", "The keys mark take 1.")

    strike(page, "m")
    sees(page, "Take 1: master")
    strike(page, "u")
    sees(page, "Undone: mark of take 1")

    assert part.takes.count() == 1
    assert part.take_parts.get().mark == ""


def test_circle_is_put_round_a_take_and_removed_by_the_same_key(tracking):
    page, part = open_and_ready(tracking)
    strike(page, "t")
    strike(page, "c")
    sees(page, "Take 1: complete")

    strike(page, "o")
    sees(page, "Take 1 circled: chosen")
    page.wait_for_timeout(600)  # the same press again within half a second is one press
    strike(page, "o")
    sees(page, "Take 1 no longer circled")

    assert not part.take_parts.get().circled


def test_keys_log_nothing_while_somebody_types_and_the_note_is_kept(tracking):
    page, part = open_and_ready(tracking)
    strike(page, "t")
    sees(page, "take 1 rolling")

    note = page.get_by_label("Note on take")
    note.press_sequentially("catch her breath, thm")
    page.keyboard.press("Control+c")
    page.evaluate("document.activeElement.blur()")
    sees(page, "Take 1: note saved")
    strike(page, "h")
    sees(page, "Take 1: hold")
    page.reload()

    has_value(page.get_by_label("Note on take"), "catch her breath, thm")
    assert part.takes.get().note == "catch her breath, thm"


def test_key_held_down_or_pressed_twice_logs_once(tracking):
    page, part = open_and_ready(tracking)

    page.evaluate(
        """() => {
          const held = { key: "t", bubbles: true };
          document.body.dispatchEvent(new KeyboardEvent("keydown", { ...held, repeat: true }));
        }"""
    )
    page.get_by_role("button", name="Start take T").dblclick()
    sees(page, "take 1 rolling")
    page.get_by_role("button", name="No good N").dblclick()
    sees(page, "Take 1: no good")

    assert [take.number for take in part.takes.all()] == [1]
    assert part.take_parts.get().mark == Mark.NO_GOOD


def test_punch_in_on_a_lyric_line_is_three_presses(tracking):
    page, part = open_and_ready(tracking)
    song = part.song
    verse = SectionFactory(song=song, name="Verse", first_bar=5)
    LyricLineFactory(section=verse, text="Hold the lantern low")
    strike(page, "t")
    strike(page, "c")
    sees(page, "Take 1: complete")
    page.reload()
    page.wait_for_selector("[data-tracking][data-ready]")

    page.locator("#punch > summary").click()
    page.get_by_role("link", name="Hold the lantern low").click()
    press(page, "Start take T")

    sees(page, "take 2 rolling")
    take = part.takes.get(number=2)
    assert (take.into.number, take.punch_in) == (1, "bar 5")


def test_what_another_logs_is_shown_within_two_seconds(tracking, page_of, manager):
    page, part = open_and_ready(tracking)
    other = page_of(manager.username)
    other.goto(page.url)
    other.wait_for_selector("[data-tracking][data-ready]")

    strike(other, "t")
    sees(other, "take 1 rolling")

    page.wait_for_selector("text=/Rolling since .*started by/", timeout=2500)
    strike(page, "t")
    sees(page, "Take 1 is rolling: end or mark it before the next one.")
    assert part.takes.count() == 1


def test_takes_are_logged_without_javascript(tracking):
    page, part = tracking(java_script_enabled=False)

    press(page, "Start take T")
    sees(page, "take 1 rolling")
    press(page, "Master M")
    sees(page, "Take 1: master")
    press(page, "Circle O")
    sees(page, "Take 1 circled: chosen")

    take = part.take_parts.get()
    assert (take.mark, take.circled) == (Mark.MASTER, True)


def test_note_that_somebody_else_writes_stands_in_the_field(tracking):
    page, part = open_and_ready(tracking)
    strike(page, "t")
    strike(page, "c")
    sees(page, "Take 1: complete")
    note = page.get_by_label("Note on take")
    has_value(note, "")

    take = part.takes.get()
    note_take(take, version=take.version, note="breath before the last line")

    has_value(note, "breath before the last line")
