"""The box in the header: what is found shows as one types, and the keyboard is enough."""

import pytest

from tests.browser.looking import barriers
from tests.factories import ClientFactory, PartFactory, PersonFactory

pytestmark = pytest.mark.browser


def test_keyboard_alone_leads_to_whoever_is_on_the_telephone(page_of, manager):
    client = ClientFactory(name="Ropewalk Recordings", phone="01632 960 255")
    PersonFactory(name="Ada Fenwright", client=client, phone="+44 1632 960255")
    page = page_of(manager.username)
    page.goto("/songs/")
    box, found = page.get_by_role("combobox", name="Find"), page.locator("[data-found]")
    options = found.get_by_role("option")

    page.keyboard.press("/")
    page.keyboard.type("960255")
    options.first.wait_for()
    assert found.get_by_role("option", selected=True).inner_text().startswith("Ropewalk Recordings")
    assert (box.get_attribute("aria-expanded"), barriers(page)) == ("true", [])
    page.keyboard.press("ArrowDown")
    chosen = found.get_by_role("option", selected=True)
    assert chosen.inner_text().startswith("Ada Fenwright")
    assert box.get_attribute("aria-activedescendant") == chosen.get_attribute("id")
    page.keyboard.press("Escape")
    assert (options.count(), box.input_value()) == (0, "960255")  # Escape empties nothing
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.wait_for_url(f"**{client.get_absolute_url()}")


def test_misspelt_word_leads_to_the_recall_all_the_same(page_of, engineer):
    part = PartFactory(song__title="Slow the Lantern", name="Lantern bell")
    page = page_of(engineer.username)
    page.goto("/songs/")

    page.keyboard.press("/")
    page.keyboard.type("lantren")
    page.locator("[data-found]").get_by_role("option", name="Slow the Lantern").first.wait_for()
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/songs/{part.song.pk}/recall-sheet/")


def test_what_is_not_found_is_said_and_enter_looks_everywhere(page_of, engineer):
    page = page_of(engineer.username)
    page.goto("/songs/")

    page.keyboard.press("/")
    page.keyboard.type("kraken nov 2026")
    page.locator("[data-found]").get_by_text("Nothing in November 2026 with “kraken”").wait_for()
    page.keyboard.press("Escape")
    page.keyboard.press("Enter")
    page.wait_for_url("**/search/?q=kraken+nov+2026")
    assert page.get_by_label("Words, names, numbers, months").input_value() == "kraken nov 2026"
