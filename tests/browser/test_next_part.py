"""From one part to the next with one hand on a tablet: every tap and every page load is counted."""

import pytest

from gear.equipment.models import Phantom, Transducer
from sessions.setups.models import Chain
from tests.browser.browsing import TABLET
from tests.factories import PartFactory
from tests.sessions.setups.building import microphone, preamplifier, revision_of

pytestmark = pytest.mark.browser


class Hand:
    """Taps what it is given, and counts taps and page loads."""

    def __init__(self, page):
        self.page, self.taps, self.loads = page, 0, 0
        page.on("load", self._loaded)

    def _loaded(self, _):
        self.loads += 1

    def tap(self, role: str, name: str):
        self.taps += 1
        self.page.get_by_role(role, name=name).first.tap()

    def choose(self, label: str, option: str):
        """The list of a tablet takes one tap to open it and one for what is in it."""
        self.taps += 2
        self.page.get_by_label(label).select_option(option)


@pytest.fixture
def session(engineer):
    """The lead is recorded through a condenser with 48 V on; a second chain stands beside it."""
    lead = PartFactory(name="Lead")
    PartFactory(name="Harmony", song=lead.song)
    first = revision_of(
        microphone(phantom=Phantom.NEEDED),
        preamplifier(),
        track="Ld Vox",
        setup__session__project=lead.song.project,
    ).chain
    first.parts.add(lead)
    first.revisions.get().stages.filter(position=2).update(settings={"gain": 36, "p48": 1})
    second = revision_of(microphone(), setup=first.setup, track="BV").chain
    second.parts.add(PartFactory(name="Low", song=lead.song))
    return first, lead


@pytest.fixture
def hand(page_of, engineer, session):
    chain, lead = session
    page = page_of(engineer.username, viewport=TABLET, has_touch=True)
    page.goto(
        f"/sessions/{chain.setup.session_id}/takes/"
        f"?song={lead.song_id}&setup={chain.setup_id}&part={lead.pk}"
    )
    page.wait_for_selector("[data-tracking][data-ready]")
    return Hand(page)


def test_next_part_through_a_chain_that_exists_takes_three_taps_and_two_loads(hand, session):
    hand.tap("link", "Next part: Harmony")
    hand.tap("radio", "BV")
    hand.tap("button", "Record this part")
    hand.page.wait_for_selector("[data-tracking][data-ready]")

    assert (hand.taps, hand.loads) == (3, 2)
    assert [part.name for part in Chain.objects.get(track="BV").parts.all()] == ["Harmony", "Low"]


def test_next_part_with_a_microphone_that_48_v_can_damage_takes_eight_taps_at_most(hand, session):
    ribbon = microphone(transducer=Transducer.RIBBON, phantom=Phantom.HARMFUL)

    hand.tap("link", "Next part: Harmony")
    hand.page.wait_for_load_state()
    hand.choose("Microphone", f"{ribbon.pk}")
    hand.tap("button", "Record this part")
    hand.tap("button", "It is off: record this part")
    hand.page.wait_for_selector("[data-tracking][data-ready]")

    assert hand.taps <= 8
    copy = Chain.objects.get(track="Harmony")
    first, second = copy.newest_revision().stages.all()
    assert (first.unit, second.settings) == (ribbon, {"gain": 36})
