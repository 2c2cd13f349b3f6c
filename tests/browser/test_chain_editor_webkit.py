"""The page of a whole chain in WebKit: typed and saved, in the dark, without the network."""

import pytest

from tests.browser.webkit import follow, found, goto, labelled, sees, until
from tests.vocal import kept

pytestmark = pytest.mark.browser


def of(tag, label, tablet):
    """The field of a unit's control."""
    unit = found(tablet, f"//*[@data-stage][contains(., '({tag})')]")
    return labelled(tablet, label, unit)


def retype(field, text):
    field.clear()
    field.send_keys(text, "\t")


def test_setting_is_typed_and_saved(vocal, tablet_of, engineer):
    tablet = tablet_of(engineer.username)
    goto(tablet, vocal.get_absolute_url())
    follow(tablet, "Edit settings")

    gain = of("PR-01", "Gain", tablet)
    retype(gain, "40")
    until(tablet, lambda: gain.get_property("value") == "40 dB")

    sees(tablet, "All saved.")
    assert kept(vocal, "PR-01", "gain") == 40
