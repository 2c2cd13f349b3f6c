"""Keys that press what is on the page: listed where one looks, and switched off by who speaks or slips."""

import pytest

from tests.browser.forms import strike

pytestmark = pytest.mark.browser


def test_keys_are_listed_and_can_be_switched_off(page_of, engineer):
    page = page_of(engineer.username)
    page.goto("/schedule/week/")

    strike(page, "?")
    keys = page.get_by_label("Keys on this page")
    assert "L\nList" in keys.inner_text()
    keys.get_by_role("button", name="Off").click()
    page.wait_for_url("**/schedule/week/")

    strike(page, "l")
    strike(page, "ArrowRight")  # no character, so it stays
    page.wait_for_url("**/schedule/week/?*")
    page.get_by_role("button", name=str(engineer)).click()
    page.get_by_role("button", name="Keys").click()
    page.get_by_label("Keys on this page").get_by_role("button", name="On").click()
    page.wait_for_url("**/schedule/week/?*")
    page.get_by_role("combobox", name="Find").press("l")  # typing presses nothing
    page.get_by_role("combobox", name="Find").blur()
    strike(page, "l")
    page.wait_for_url("**/sessions/")
