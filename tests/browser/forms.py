"""Pages as people use them: by the words beside the fields and on the buttons."""

import re


def field(page, label: str):
    """The field of that label, whether or not the label says that it is required."""
    return page.get_by_label(re.compile(rf"^{re.escape(label)}( required| optional)?$"))


def fill_in(page, fields: dict[str, str]) -> None:
    """Type into fields named by their labels."""
    for label, text in fields.items():
        field(page, label).fill(text)


def choose(page, label: str, option: str) -> None:
    """Choose from a list the one option that says `option` somewhere, Floor 1 being no Floor 11."""
    select, words = field(page, label), re.compile(rf"{re.escape(option)}(?!\d)")
    select.select_option(select.locator("option", has_text=words).get_attribute("value"))


def tick(page, *labels: str) -> None:
    """Tick the boxes, or the one of a few, that say so."""
    for label in labels:
        page.get_by_label(label, exact=True).check()


def find(page, label: str, *names: str) -> None:
    """Take each by typing its name into a field that looks for it."""
    box = page.get_by_role("combobox", name=label)
    for name in names:
        box.fill(name)
        box.press("Enter")


def press(page, *buttons: str) -> None:
    """Press buttons of these names one after the other, the first of each on its page."""
    for button in buttons:
        page.get_by_role("button", name=button, exact=True).first.click()


def follow(page, *links: str) -> None:
    """Follow links of these names one after the other, the first of each on its page."""
    for link in links:
        page.get_by_role("link", name=link, exact=True).first.click()


def strike(page, key: str) -> None:
    """Press one key, once the page listens."""
    page.wait_for_load_state()
    page.keyboard.press(key)


def sees(place, *texts: str) -> None:
    """Wait until the page, or a part of it, says all of that."""
    from playwright.sync_api import expect  # the tests load where it is missing, and are skipped

    part = place if hasattr(place, "all_inner_texts") else place.locator("body")
    for text in texts:
        expect(part).to_contain_text(text)


def has_focus(locator) -> None:
    """Wait for it, and say what has it instead."""
    from playwright.sync_api import expect

    expect(locator).to_be_focused()


def has_value(locator, text: str) -> None:
    """Wait until the field holds it."""
    from playwright.sync_api import expect

    expect(locator).to_have_value(text)
