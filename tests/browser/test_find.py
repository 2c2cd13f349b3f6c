"""The box in the header: what is found shows as one types, and the keyboard is enough."""

import pytest

from tests.factories import PartFactory

pytestmark = pytest.mark.browser


def test_keyboard_alone_leads_from_a_misspelt_word_to_the_recall(page_of, engineer):
    part = PartFactory(song__title="Slow the Lantern", name="Lantern bell")
    page = page_of(engineer.username)
    page.goto("/songs/")
    box = page.get_by_role("searchbox", name="Find")
    found = page.locator("[data-found]")

    page.keyboard.press("/")
    page.keyboard.type("lantren")
    found.get_by_role("link", name="Slow the Lantern", exact=False).first.wait_for()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.textContent").startswith("Lantern bell of")
    page.keyboard.press("Escape")
    assert found.is_hidden()
    assert box.input_value() == "lantren"  # Escape empties nothing
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/songs/{part.song.pk}/recall-sheet/")


def test_what_is_not_found_is_said_and_enter_shows_the_page(page_of, engineer):
    page = page_of(engineer.username)
    page.goto("/songs/")

    page.keyboard.press("/")
    page.keyboard.type("kraken nov 2026")
    page.locator("[data-found]").get_by_text("Nothing in November 2026 with “kraken”").wait_for()
    page.keyboard.press("Escape")
    page.keyboard.press("Enter")
    page.wait_for_url("**/find/?q=kraken+nov+2026")
    assert page.get_by_label("Words, names, numbers, months").input_value() == "kraken nov 2026"
