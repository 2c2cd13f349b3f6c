"""The page of a whole chain in WebKit: typed and saved, chosen and turned, in the dark, without the
network."""

import pytest
from selenium.webdriver.common.action_chains import ActionChains

from tests.browser.webkit import button, follow, found, goto, labelled, sees, until
from tests.vocal import kept

pytestmark = pytest.mark.browser


@pytest.fixture
def page(vocal, tablet_of, engineer):
    """`page()`: the setting page of the voice, on a tablet."""

    def open_page(**options):
        tablet = tablet_of(engineer.username, **options)
        goto(tablet, vocal.get_absolute_url())
        follow(tablet, "Edit settings")
        found(tablet, "//*[@data-status]")
        return tablet

    return open_page


def of(tag, label, tablet):
    """The field of a unit's control."""
    unit = found(tablet, f"//*[@data-stage][contains(., '({tag})')]")
    return labelled(tablet, label, unit)


def drawing_of(field):
    return field.find_element("xpath", "../span[contains(@class, 'control-drawing')]")


def retype(field, text):
    field.clear()
    field.send_keys(text, "\t")


def has(tablet, field, value):
    until(tablet, lambda: field.get_property("value") == value)


def test_setting_is_typed_and_saved(vocal, page):
    tablet = page()

    gain = of("PR-01", "Gain", tablet)
    retype(gain, "40")
    has(tablet, gain, "40 dB")

    sees(tablet, "All saved.")
    assert kept(vocal, "PR-01", "gain") == 40


def test_knob_is_chosen_turned_and_undone_in_the_dark(vocal, page):
    tablet = page(dark=True)
    threshold = of("CO-01", "Threshold", tablet)
    drawing = drawing_of(threshold)
    ink = "return getComputedStyle(document.body).color"
    assert min(map(int, tablet.execute_script(ink).strip("rgb()").split(", "))) > 200  # dark mode

    def draw_up():
        ring = drawing.find_element("tag name", "svg")
        ActionChains(tablet, 0).click_and_hold(ring).move_by_offset(0, -12).release().perform()

    assert drawing.value_of_css_property("touch-action") == "auto"  # a finger scrolls from it
    draw_up()  # the first press chooses, and nothing more
    has(tablet, threshold, "−6.0 dBu")
    assert drawing.value_of_css_property("touch-action") == "none"
    draw_up()
    has(tablet, threshold, "−4.4 dBu")
    sees(tablet, "CO-01 Threshold: −4.4 dBu")
    assert kept(vocal, "CO-01", "threshold") == -4.4
    button(tablet, "Undo CO-01 Threshold").click()
    has(tablet, threshold, "−6.0 dBu")
    sees(tablet, "All saved.")
    assert kept(vocal, "CO-01", "threshold") == -6


def test_what_is_typed_while_the_network_is_away_is_saved_once_it_is_back(vocal, page, network):
    tablet = page()
    gain, ratio = of("PR-01", "Gain", tablet), of("CO-01", "Ratio", tablet)

    network.cut()
    retype(gain, "45")
    retype(ratio, "7:1")
    sees(tablet, "2 not saved yet: the server cannot be reached")
    assert (gain.get_property("value"), ratio.get_property("value")) == ("45", "7:1")
    network.mend()
    tablet.refresh()  # which it outlives, too
    gain, ratio = of("PR-01", "Gain", tablet), of("CO-01", "Ratio", tablet)

    has(tablet, gain, "45 dB")
    has(tablet, ratio, "7:1")
    sees(tablet, "All saved.")
    assert (kept(vocal, "PR-01", "gain"), kept(vocal, "CO-01", "ratio")) == (45, 7)
