"""The input list of a band, entered as an engineer would: from a written list, by keyboard; and the
same list pasted from a spreadsheet."""

import pytest
from django.urls import reverse

from gear.equipment.models import Category, Phantom, SignalLevel
from gear.panels.models import Meaning
from gear.patchbay.models import Side
from sessions.setups.models import Chain
from tests.factories import (
    BayFactory,
    ControlFactory,
    GearModelFactory,
    MicrophoneModelFactory,
    PanelFactory,
    PatchPointFactory,
    SetupFactory,
    UnitFactory,
)
from tests.sessions.setups.building import loaded, switch

pytestmark = pytest.mark.browser

MOST_KEYS, MOST_LOADS = 800, 3
#: Source, microphone or DI box, gain, 48 V: as written on the engineer's pad.
WRITTEN = [
    ("Bass drum in", "M-01", 30, False),
    ("Bass drum out", "M-02", 35, True),
    ("Snare top", "M-03", 30, False),
    ("Snare bottom", "M-04", 35, False),
    ("Hi-hat", "M-05", 35, True),
    ("Rack tom", "M-06", 30, False),
    ("Floor tom", "M-07", 30, False),
    ("Overhead left", "M-08", 40, True),
    ("Overhead right", "M-09", 40, True),
    ("Room", "M-10", 45, True),
    ("Bass direct", "B-01", 20, True),
    ("Bass amplifier", "M-11", 35, False),
    ("Guitar", "M-12", 40, False),
    ("Piano low", "M-13", 40, True),
    ("Piano high", "M-14", 40, True),
    ("Guide vocal", "M-15", 45, False),
]


@pytest.fixture
def setup(real_database):
    """A sixteen-channel preamplifier and converter, sixteen lines from the room, all at one bay."""
    bay = BayFactory()
    condenser = MicrophoneModelFactory(phantom=Phantom.NEEDED)
    dynamic = MicrophoneModelFactory(phantom=Phantom.HARMLESS, transducer="dynamic")
    box = GearModelFactory(category=Category.DI_BOX, phantom=Phantom.NEEDED)
    for _, tag, _, is_powered in WRITTEN:
        model = box if tag.startswith("B") else condenser if is_powered else dynamic
        UnitFactory(asset_tag=tag, model=model)
    facts = {"channels": 16}
    pre = UnitFactory(
        asset_tag="P-01", model=GearModelFactory(category=Category.PREAMPLIFIER, **facts)
    )
    panel = PanelFactory(model=pre.model)
    ControlFactory(panel=panel, key="gain", label="Gain")
    switch(panel, key="p48", label="48 V", meaning=Meaning.PHANTOM)
    converter = UnitFactory(
        asset_tag="A-01", model=GearModelFactory(category=Category.CONVERTER, **facts)
    )
    for n in range(1, 17):
        PatchPointFactory(bay=bay, label=f"Wall {n}", level=SignalLevel.MICROPHONE)
        for unit, label in ((pre, "Pre"), (converter, "Record")):
            PatchPointFactory(
                bay=bay, label=f"{label} {n} in", unit=unit, channel=n, side=Side.RETURN
            )
    return SetupFactory(name="Band, morning")


class Keyboard:
    """Types as a person does, key by key, and counts."""

    def __init__(self, page):
        self.page, self.presses = page, 0

    def type(self, text):
        self.page.keyboard.type(text)
        self.presses += len(text)

    def press(self, key, times=1):
        for _ in range(times):
            self.page.keyboard.press(key)
        self.presses += times


def as_on_the_list(setup):
    """Every chain as the written list and the run of the numbers have it."""
    chains = Chain.objects.filter(setup=setup).order_by("position")
    found = []
    for chain in chains:
        mic, pre, converter = loaded(chain.revisions.get()).stages.all()
        found.append(
            (
                chain.destination_input,
                chain.source.name,
                chain.track,
                mic.unit.asset_tag,
                mic.patch_out.label,
                (pre.unit.asset_tag, pre.channel, pre.patch_in.label),
                pre.settings,
                (converter.unit.asset_tag, converter.channel, converter.patch_in.label),
            )
        )
    return found


def wanted():
    return [
        (
            str(n),
            source,
            source,
            tag,
            f"Wall {n}",
            ("P-01", n, f"Pre {n} in"),
            {"gain": gain} | ({"p48": 1} if is_powered else {}),
            ("A-01", n, f"Record {n} in"),
        )
        for n, (source, tag, gain, is_powered) in enumerate(WRITTEN, 1)
    ]


def test_sixteen_inputs_are_entered_by_keyboard(page_of, engineer, setup):
    page = page_of(engineer.username)
    loads = []
    page.on("load", lambda: loads.append(page.url))
    page.goto(reverse("setups:input_list", args=[setup.pk]))
    keyboard = Keyboard(page)
    page.get_by_label("Input, line 1", exact=True).focus()

    keyboard.type("1")
    keyboard.press("Tab")
    for n, (source, tag, gain, is_powered) in enumerate(WRITTEN, 1):
        keyboard.type(source)
        keyboard.press("Tab")
        keyboard.type(tag)
        keyboard.press("Tab", 2)
        if n == 1:
            keyboard.type("Wall 1")
            keyboard.press("Tab")
            keyboard.type("P-01/1")
        else:
            keyboard.press("Tab")
        keyboard.press("Tab")
        keyboard.type(str(gain))
        keyboard.press("Tab", 2)
        if is_powered:
            keyboard.type("x")
        if n == 1:
            keyboard.press("Tab", 4)
            keyboard.type("A-01/1")
        if n < len(WRITTEN):
            keyboard.press("Enter")
    page.get_by_role("button", name="Save", exact=True).press("Enter")
    page.get_by_text("16 lines of the input list saved.").wait_for()

    assert keyboard.presses + 1 <= MOST_KEYS
    assert len(loads) <= MOST_LOADS
    assert as_on_the_list(setup) == wanted()


def test_the_same_list_is_pasted_and_confirmed(page_of, engineer, setup):
    rows = [
        [str(n), source, tag, "", f"Wall {n}", f"P-01/{n}", str(gain), "", "x" if powered else ""]
        + ["", "", "", f"A-01/{n}", source]
        for n, (source, tag, gain, powered) in enumerate(WRITTEN, 1)
    ]
    text = "\n".join("\t".join(row) for row in rows)
    page = page_of(engineer.username)
    page.goto(reverse("setups:input_list", args=[setup.pk]))

    page.get_by_label("Input, line 1", exact=True).evaluate(
        """(cell, text) => {
            const clipboardData = new DataTransfer();
            clipboardData.setData("text/plain", text);
            const pasted = { clipboardData, bubbles: true, cancelable: true };
            cell.dispatchEvent(new ClipboardEvent("paste", pasted));
        }""",
        text,
    )
    page.get_by_role("button", name="Save", exact=True).click()
    page.get_by_text("16 lines of the input list saved.").wait_for()

    assert as_on_the_list(setup) == wanted()
