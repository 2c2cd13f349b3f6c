"""Logging takes: one key, not while somebody types, and by hand where no script runs."""

import pytest

from sessions.takes.models import Mark, Take
from tests.browser.forms import field, press, sees, strike
from tests.factories import ChainFactory, PartFactory, RevisionFactory

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


def test_take_is_logged_by_one_key(tracking):
    page, part = tracking()

    strike(page, "c")
    sees(page, "take 1 logged, complete")

    take = part.takes.get()
    assert (take.number, part.take_parts.get().mark, take.is_rolling) == (1, Mark.COMPLETE, False)
    assert take.revisions.get().is_fixed


def test_take_rolls_by_one_key_and_is_ended_by_its_mark(tracking):
    page, part = tracking()

    strike(page, "t")
    sees(page, "take 1 rolling", "Rolling since")
    strike(page, "l")
    sees(page, "Take 1: long false start")

    mark = part.take_parts.get().mark
    assert (mark, (take := part.takes.get()).is_rolling) == (Mark.LONG_FALSE_START, False)
    assert take.started_at <= take.ended_at


def test_keys_log_nothing_while_somebody_types(tracking):
    page, part = tracking()
    page.get_by_text("Punch-in, pre-roll, note").click()

    field(page, "Note").press_sequentially("catch her breath, thm")
    field(page, "Kind").press("m")  # a list jumps to what begins with the letter
    page.keyboard.press("Tab")
    page.keyboard.press("Control+c")

    sees(page, "Next take of")
    assert field(page, "Note").input_value() == "catch her breath, thm"
    assert not Take.objects.exists()
    page.evaluate("document.activeElement.blur()")
    strike(page, "h")
    sees(page, "take 1 logged, hold")
    assert part.takes.get().note == "catch her breath, thm"


def test_key_held_down_logs_once(tracking):
    page, part = tracking()

    page.evaluate(
        """() => {
          const held = { key: "b", bubbles: true };
          document.body.dispatchEvent(new KeyboardEvent("keydown", { ...held, repeat: true }));
        }"""
    )
    strike(page, "n")
    sees(page, "take 1 logged, no good")

    assert part.take_parts.get().mark == Mark.NO_GOOD


def test_takes_are_logged_without_javascript(tracking):
    page, part = tracking(java_script_enabled=False)

    press(page, "Log take 1: rolling T")
    sees(page, "take 1 rolling")
    press(page, "Master M")
    sees(page, "Take 1: master")
    press(page, f"Circle {part}, take 1")
    sees(page, "Take 1 circled: chosen")

    take = part.take_parts.get()
    assert (take.mark, take.circled) == (Mark.MASTER, True)
