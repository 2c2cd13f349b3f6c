"""A pinned control on the tracking page: two presses, and who turned it meanwhile."""

import pytest

from sessions.setups.chains.actions import fix_revision
from sessions.setups.editor.actions import set_field
from sessions.setups.editor.keys import stage_keys
from sessions.setups.models import Stage
from sessions.setups.pins.actions import pin_control
from tests.browser.forms import has_focus, press, sees
from tests.factories import PartFactory
from tests.sessions.setups.building import loaded, microphone, preamplifier, revision_of

pytestmark = pytest.mark.browser


@pytest.fixture
def pinned(page_of, engineer):
    """The tracking page of a voice whose gain, 35 dB in a locked revision, is pinned; its chain and
    the key of the unit."""
    part = PartFactory(name="Lead vocal")
    revision = revision_of(
        microphone(), preamplifier(), part=part, setup__session__project=part.song.project
    )
    Stage.objects.filter(revision=revision, position=2).update(settings={"gain": 35, "p48": 1})
    fix_revision(revision)
    chain = revision.chain
    key = list(stage_keys(loaded(revision).stages.all()))[1]
    pin_control(chain, stage=key, control="gain", pinned=True, by=engineer)
    page = page_of(engineer.username)
    page.goto(
        f"/sessions/{chain.setup.session_id}/takes/?song={part.song_id}&setup={chain.setup_id}"
    )
    page.wait_for_selector("[data-tracking][data-ready]")
    return page, chain, key


def gain_of(chain):
    return chain.revisions.newest().get().stages.get(position=2).settings["gain"]


def test_pinned_control_is_set_in_two_presses_without_a_page_load(pinned):
    page, chain, _ = pinned
    loads = []
    page.on("framenavigated", lambda frame: loads.append(frame.url))

    value = page.get_by_role("button", name="Gain: 35 dB")
    value.click()  # one
    page.get_by_role("button", name="30 dB", exact=True).click()  # two

    has_focus(page.get_by_role("button", name="Gain: 30 dB"))
    assert (gain_of(chain), chain.revisions.count(), loads) == (30, 2, [])

    page.locator(".pinned button[id$=-higher]").press("Enter")  # what turns it up comes next
    page.get_by_role("button", name="Gain: 32 dB").wait_for()
    assert gain_of(chain) == 32


def test_both_are_shown_where_somebody_else_turned_it_meanwhile(pinned, assistant, watch):
    page, chain, key = pinned
    page.get_by_role("button", name="Gain: 35 dB").click()  # open: the page waits with what is new
    set_field(chain, key=key, name="control-gain", was=35, value=20, by=assistant)

    page.get_by_role("button", name="30 dB", exact=True).click()

    sees(page, f"{assistant} set 20 dB here meanwhile")
    assert gain_of(chain) == 20
    press(page, "Set 30 dB")
    page.get_by_role("button", name="Gain: 30 dB").wait_for()
    assert gain_of(chain) == 30
    [refused] = watch.seen  # the answer that brought both
    assert refused.endswith("status of 422 (Unprocessable Entity)")
    watch.seen.clear()
