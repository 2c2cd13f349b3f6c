"""The checklist of a rebuild on a tablet: from the recall sheet to the tone check."""

import time
from decimal import Decimal

import pytest
from playwright.sync_api import expect

from sessions.recall.models import Rebuild, Tick
from sessions.recall.rebuilds.actions import choose_unit
from tests.browser.forms import has_focus, sees
from tests.sessions.recall.rebuilds.vocal import recorded_vocal, started, step_at

pytestmark = pytest.mark.browser

TABLET = {"width": 820, "height": 1180}


def test_vocal_is_set_up_again_from_its_recall_on_a_tablet(real_database, page_of, engineer):
    song = recorded_vocal().chain.parts.get().song
    page = page_of(engineer.username, viewport=TABLET)
    page.goto(f"/songs/{song.pk}/recall-sheet/")

    page.get_by_role("link", name="Rebuild", exact=True).click()
    page.wait_for_url("**/new/")
    page.get_by_role("button", name="Start rebuild").click()
    page.wait_for_url("**/units/")
    page.get_by_role("button", name="Use these units").click()
    rebuild = Rebuild.objects.get(song=song)
    page.wait_for_url(f"**{rebuild.get_absolute_url()}")

    preamplifier = step_at(rebuild, 2)
    phantom = page.locator(f"#control-{preamplifier.pk}-48-v")
    phantom.get_by_role("button", name="Set as logged").click()
    sees(phantom, "Undo")
    waits = page.locator(f"#control-{preamplifier.pk}-gain").get_by_role(
        "button", name="Set as logged"
    )
    has_focus(waits)  # nobody has to look for the place again
    gain = page.locator(f"#control-{preamplifier.pk}-gain")
    typed = gain.get_by_label("Gain, as set")
    typed.fill("37")
    typed.press("Enter")
    sees(gain, "differs 37 dB 10°, +2 dB")
    page.get_by_role("button", name="Set in place").last.click()
    sees(page.locator(f"#in-place-{preamplifier.pk}"), "Undo")

    page.get_by_role("link", name="Tone check").click()
    reading = page.get_by_label("Reading at unit 2")
    reading.fill("-3")
    reading.press("Enter")
    sees(page.locator(f"#tone-{preamplifier.pk}"), "2 dB", "out here")

    preamplifier.refresh_from_db()
    ticks = Tick.objects.filter(step=preamplifier)
    assert {tick.key: (tick.value, tick.ticked_by) for tick in ticks} == {
        "48-v": (1, engineer),
        "gain": (37, engineer),
    }
    assert preamplifier.is_in_place
    assert preamplifier.tone_reading_dbu == Decimal(-3)


def open_checklist(page_of, user, rebuild):
    page = page_of(user.username, viewport=TABLET)
    page.goto(rebuild.get_absolute_url())
    page.wait_for_selector("[data-live][data-ready]")
    return page


def test_another_persons_ticks_appear_within_two_seconds_and_leave_what_is_typed(
    real_database, page_of, engineer, assistant, watch
):
    rebuild = started(recorded_vocal(), engineer)
    step = step_at(rebuild, 2)
    mine, theirs = (open_checklist(page_of, user, rebuild) for user in (engineer, assistant))
    gain, phantom = (f"#control-{step.pk}-{key}" for key in ("gain", "48-v"))
    typed = mine.locator(gain).get_by_label("Gain, as set")
    typed.press_sequentially("37")
    typed.press("ArrowLeft")

    theirs.locator(gain).get_by_role("button", name="Set as logged").click()
    sees(theirs.locator(gain), "Undo")
    seen_by_them = time.monotonic()
    expect(mine.locator(gain)).to_contain_text(str(assistant), timeout=2000)
    assert time.monotonic() - seen_by_them < 2
    sees(mine.locator("#set-so-far"), "1 of 2 logged controls set")
    expect(typed).to_have_value("37")
    has_focus(typed)
    assert typed.evaluate("each => each.selectionStart") == 1

    typed.press("Enter")  # the other's tick is told before it is written over
    sees(mine.locator(gain), f"{assistant} set 35 dB here meanwhile")
    assert watch.seen.pop().endswith("status of 422 (Unprocessable Entity)")
    typed.press("Enter")
    sees(mine.locator(gain), "differs 37 dB")
    expect(theirs.locator(gain)).to_contain_text("differs", timeout=2000)

    theirs.locator(phantom).get_by_role("button", name="Set as logged").click()
    expect(mine.locator(phantom)).to_contain_text(str(assistant), timeout=2000)
    sees(mine.locator("#set-so-far"), "2 of 2 logged controls set")


def test_what_is_typed_for_a_unit_that_somebody_changed_is_said_not_lost(
    real_database, page_of, engineer, assistant
):
    rebuild = started(recorded_vocal(), engineer)
    step = step_at(rebuild, 2)
    mine = open_checklist(page_of, engineer, rebuild)
    mine.locator(f"#control-{step.pk}-gain").get_by_label("Gain, as set").fill("37")

    choose_unit(step, unit=None, is_left_out=True, seen=1, by=assistant)

    expect(mine.locator("#said")).to_contain_text("“37”, Gain, as set, was not saved", timeout=3000)
    sees(mine.locator(f"#step-{step.pk}"), "Left out of the rebuild")


def test_list_is_worked_through_by_keys_alone(real_database, page_of, engineer):
    rebuild = started(recorded_vocal(), engineer)
    step = step_at(rebuild, 2)
    page = open_checklist(page_of, engineer, rebuild)
    waits = [
        page.locator(f"#in-place-{step_at(rebuild, 1).pk}").get_by_role("button"),
        page.locator(f"#in-place-{step.pk}").get_by_role("button"),
        page.locator(f"#control-{step.pk}-48-v").get_by_role("button", name="Set as logged"),
        page.locator(f"#control-{step.pk}-gain").get_by_role("button", name="Set as logged"),
    ]

    for each in waits:
        page.keyboard.press("n")
        has_focus(each)
    page.keyboard.press("n")
    has_focus(waits[0])  # after the last comes the first
    for following in waits[1:]:
        page.keyboard.press("Enter")
        has_focus(following)
        page.wait_for_timeout(1500)  # what it set itself comes back and takes no focus away
        has_focus(following)
    page.keyboard.press("Enter")

    sees(page.locator("#set-so-far"), "2 of 2 logged controls set")
    assert all(each.is_in_place for each in rebuild.steps.all())
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press("n")
    sees(page.locator("#said"), "All is set.")
