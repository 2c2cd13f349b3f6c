"""The checklist of a rebuild on a tablet: from the recall sheet to the tone check."""

from decimal import Decimal

import pytest

from sessions.recall.models import Rebuild, Tick
from tests.browser.forms import has_focus, sees
from tests.sessions.recall.rebuilds.vocal import recorded_vocal, step_at

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
    phantom.get_by_role("button", name="As logged").click()
    sees(phantom, "Undo")
    waits = page.locator(f"#control-{preamplifier.pk}-gain").get_by_role("button", name="As logged")
    has_focus(waits)  # nobody has to look for the place again
    gain = page.locator(f"#control-{preamplifier.pk}-gain")
    typed = gain.get_by_label("Gain, as set")
    typed.fill("37")
    typed.press("Enter")
    sees(gain, "differs 37 dB 10°, +2 dB")
    page.get_by_role("button", name="In place and patched").last.click()
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
