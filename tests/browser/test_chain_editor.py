"""The page of a whole chain: by keyboard, by dragging, through a lost connection, beside a second
editor. The chain is a voice's, from its valve microphone to the recorder's input."""

import re
from datetime import timedelta

import pytest

from sessions.setups.models import Revision, Setup, Stage
from studio.demo.equipment import fill_equipment
from tests.browser.browsing import TABLET
from tests.browser.forms import press, sees
from tests.factories import RecordingSessionFactory, SetupFactory
from tests.vocal import kept

pytestmark = pytest.mark.browser

FEW_KEYS = 200  # at three a second it takes little more than a minute

# What the singer wants otherwise today: control, typed, shown, kept.
CHANGES = [
    ("PR-01", "Gain", "40", "40 dB", 40),
    ("PR-01", "Low cut", "3:00", "110 Hz", 110),
    ("EQ-01", "Middle frequency", "2k2", "2.2 kHz", 2200),
    ("EQ-01", "Equaliser", "out", "out", 0),
    ("CO-01", "Ratio", "7:1", "7:1", 7),
    ("CO-01", "Release", "0.3 s", "300 ms", 300),
]
NOT_COPIED = {"mains", "gain-reduction", "level"}  # what was on, and what meters read


def of(tag, label, page):
    """The field of a unit's control."""
    stage = page.locator("[data-stage]", has_text=f"({tag})")
    return stage.get_by_label(label, exact=True)


def has(place, value):
    from playwright.sync_api import expect

    expect(place).to_have_value(value)


def drawing_of(field):
    return field.locator("xpath=../span[contains(@class,'control-drawing')]")


def middle_of(place):
    box = place.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def failed_requests_are_meant(watch):
    """The browser notes in its console what the server refused or did not hear."""
    watch.seen[:] = [each for each in watch.seen if "Failed to load resource" not in each]


class Keyboard:
    """Presses keys and counts them."""

    def __init__(self, page):
        self.page, self.presses = page, 0

    def press(self, key):
        self.page.keyboard.press(key)
        self.presses += 1

    def type(self, text):
        for letter in text:
            self.press(letter)

    def tab_to(self, place):
        for _ in range(100):
            if place.evaluate("each => each === document.activeElement"):
                return
            self.press("Tab")
        raise AssertionError(f"Tab does not come to {place}")


def test_vocal_chain_is_entered_by_keyboard_from_a_copied_setup(vocal, page_of, engineer, capsys):
    session = RecordingSessionFactory(
        project=vocal.setup.session.project,
        starts_at=vocal.setup.session.starts_at + timedelta(days=1),
    )
    page = page_of(engineer.username)
    page.goto(f"/sessions/{session.pk}/setups/")
    asked = []
    page.on("request", lambda request: asked.append(request.resource_type))
    keys = Keyboard(page)

    keys.tab_to(page.get_by_role("link", name="Start from a setup"))
    keys.press("Enter")
    page.wait_for_url("**/copy/")
    keys.press("ArrowDown")
    keys.press("Tab")
    keys.press("Enter")
    page.wait_for_url("**/setups/*/settings/")
    for tag, label, typed, shown, _value in CHANGES:
        field = of(tag, label, page)
        keys.tab_to(field)
        keys.type(typed)
        keys.press("Tab")
        has(field, shown)

    sees(page.locator("[data-status]"), "All saved.")
    requests = sum(asked.count(kind) for kind in ("document", "fetch", "xhr"))
    with capsys.disabled():
        print(f"\nvocal chain: {keys.presses} key presses, {requests} requests")  # noqa: T201
    assert keys.presses <= FEW_KEYS
    assert requests == 3 + len(CHANGES)  # the form and what it is sent with, the page, each change
    copy = Setup.objects.get(session=session).chains.get()
    stages = list(copy.newest_revision().stages.all())
    assert len(stages) == 7
    assert sum(len(stage.controls()) for stage in stages) >= 25
    changed = {(tag, key_of(label)): value for tag, label, _t, _s, value in CHANGES}
    before = Revision.objects.with_stages().get(chain=vocal)
    assert {stage.unit.asset_tag: stage.settings for stage in stages} == {
        stage.unit.asset_tag: {
            key: value for key, value in stage.settings.items() if key not in NOT_COPIED
        }
        | {key: value for (tag, key), value in changed.items() if tag == stage.unit.asset_tag}
        for stage in before.stages.all()
    }


# Six units and their 31 controls as an engineer types them; ↑ puts a switch at its first place.
UNITS = {
    "MC-01": ["↑", "↑"],
    "PR-01": ["on", "↑", "↑", "45", "35"],
    "PR-02": ["↑", "↑", "↑", "↑", "6"],
    "MX-01": ["0", "-5", "-9"],
    "EQ-01": ["-2.5", "95", "1.5", "1k9", "↑", "2", "9k", "in"],
    "CO-01": ["-6", "4", "20", "250", "↑", "4", "in", "3"],
}


def test_new_chain_of_six_units_is_typed_in_few_keys(real_database, page_of, engineer, capsys):
    fill_equipment()
    setup = SetupFactory(name="Lead vocal, morning")
    page = page_of(engineer.username)
    page.goto(f"/setups/{setup.pk}/chains/new/")
    keys = Keyboard(page)

    keys.tab_to(page.get_by_label("Source required"))
    keys.type("Alto")
    keys.tab_to(page.get_by_label("Track required"))
    keys.type("Vox")
    keys.press("Enter")
    page.wait_for_url("**/chains/*/")
    keys.tab_to(page.get_by_role("link", name="Add a unit"))
    keys.press("Enter")
    page.wait_for_url("**/settings/#id_unit")
    keys.tab_to(page.get_by_label("Add a unit"))
    for number, (tag, settings) in enumerate(UNITS.items(), 1):
        keys.type(tag)
        keys.press("Enter")
        page.wait_for_selector(f"[data-stage] >> nth={number - 1}")
        page.wait_for_load_state()
        for typed in settings:
            keys.press("ArrowUp") if typed == "↑" else keys.type(typed)
            keys.press("Enter")

    sees(page.locator("[data-status]"), "All saved.")
    with capsys.disabled():
        print(f"\nnew chain: {keys.presses} key presses")  # noqa: T201
    assert keys.presses <= FEW_KEYS
    stages = setup.chains.get().newest_revision().stages.all()
    assert [stage.unit.asset_tag for stage in stages] == list(UNITS)
    assert sum(len(stage.settings) for stage in stages) == sum(map(len, UNITS.values())) == 31


def key_of(label):
    return re.sub(r"\W+", "-", label.lower())


def test_control_is_chosen_and_set_by_dragging_and_by_arrow_keys(vocal, page_of, engineer):
    page = page_of(engineer.username)
    page.goto(f"/chains/{vocal.pk}/settings/")
    threshold = of("CO-01", "Threshold", page)
    drawing = drawing_of(threshold)
    drawing.click()
    middle = middle_of(drawing.locator("svg"))
    body, pointer = drawing.locator("path").all()
    ring = body.get_attribute("d")

    # By the middle and up, a degree a pixel: -6 dBu stands at 15 degrees, so at 27 in the end.
    page.mouse.move(*middle)
    page.mouse.down()
    page.mouse.move(middle[0], middle[1] - 12, steps=3)
    assert threshold.input_value() == "12:54"  # not saved yet: it shows where the pointer stands
    sees(page.locator("[data-at]"), "CO-01 Threshold: about −4.4 dBu")
    assert re.match(r"rotate\(27(\.\d*)? 32 32\)", pointer.get_attribute("transform"))
    assert body.get_attribute("d") == ring
    page.mouse.up()
    has(threshold, "−4.4 dBu")
    sees(threshold.locator("xpath=.."), "12:55")

    low_cut = of("CO-01", "Side-chain low cut", page)  # a switch goes where it is touched
    switch = drawing_of(low_cut).locator("svg")
    switch.click()
    width = switch.bounding_box()["width"]
    switch.click(position={"x": width / 2 + 20, "y": width / 2})
    has(low_cut, "140 Hz")

    ratio = of("CO-01", "Ratio", page)  # falls from detent to detent
    ratio.focus()
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Tab")
    sees(page.locator("[data-status]"), "All saved.")

    assert kept(vocal, "CO-01", "threshold") == -4.4
    assert kept(vocal, "CO-01", "side-chain-low-cut") == 140
    assert kept(vocal, "CO-01", "ratio") > 4


def flick(page, start):
    """A finger that comes down there, draws the page up and lets go."""
    devtools = page.context.new_cdp_session(page)
    x, y = start
    for type, up in [("touchStart", 0), *(("touchMove", n * 30) for n in range(1, 11))]:
        touch = {"type": type, "touchPoints": [{"x": x, "y": y - up}]}
        devtools.send("Input.dispatchTouchEvent", touch)
    devtools.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def test_finger_scrolls_until_it_has_chosen_a_knob(vocal, page_of, engineer):
    page = page_of(engineer.username, viewport=TABLET, has_touch=True)
    page.goto(f"/chains/{vocal.pk}/settings/")
    pattern, gain = of("SU-01", "Pattern", page), of("PR-01", "Gain", page)

    flick(page, middle_of(drawing_of(pattern)))
    page.wait_for_function("scrollY > 100")
    has(pattern, "cardioid")

    drawing = drawing_of(gain)
    drawing.tap()
    assert drawing.locator("text").all_text_contents()[:2] == ["6", "18"]  # what is engraved
    scrolled = page.evaluate("scrollY")
    flick(page, middle_of(drawing.locator("svg")))
    has(gain, "63 dB")
    assert page.evaluate("scrollY") == scrolled

    press(page, "Undo PR-01/1 Gain")
    has(gain, "35 dB")
    sees(page.locator("[data-status]"), "All saved.")
    assert kept(vocal, "PR-01", "gain") == 35


def test_harm_is_asked_in_the_bar_and_what_a_save_warns_of_is_seen_there(
    vocal, page_of, engineer, watch
):
    page = page_of(engineer.username, viewport=TABLET)
    page.goto(f"/chains/{vocal.pk}/settings/")
    bar = page.locator("[data-news]")
    mains = of("SU-01", "Mains", page)

    mains.fill("off")
    page.keyboard.press("Tab")
    page.mouse.wheel(0, 5000)
    sees(bar, "SU-01 Mains", "is patched at")
    assert bar.bounding_box()["y"] < TABLET["height"] / 2  # far from the control, in sight
    assert kept(vocal, "SU-01", "mains") == 1
    press(bar, "Save “off” anyway")
    sees(page.locator("[data-status]"), "All saved.")
    assert kept(vocal, "SU-01", "mains") == 0

    of("EQ-01", "Path", page).select_option("monitor")
    sees(bar, "is marked monitor only, but comes before")
    bar.get_by_role("button", name="Seen").click()
    assert bar.inner_text() == ""
    failed_requests_are_meant(watch)


def test_change_is_kept_until_the_server_can_be_reached(vocal, page_of, engineer, watch):
    page = page_of(engineer.username)
    address = f"/chains/{vocal.pk}/settings/"
    page.goto(address)

    page.context.set_offline(True)
    of("PR-01", "Gain", page).fill("loud")
    of("PR-01", "Gain", page).fill("45")
    page.keyboard.press("Tab")
    sees(page.locator("[data-status]"), "1 not saved yet: the server cannot be reached")
    sees(of("PR-01", "Gain", page).locator("xpath=.."), "not saved yet")
    assert kept(vocal, "PR-01", "gain") == 35
    page.context.set_offline(False)
    has(of("PR-01", "Gain", page), "45 dB")
    sees(page.locator("[data-status]"), "All saved.")
    assert kept(vocal, "PR-01", "gain") == 45

    page.context.set_offline(True)
    of("PR-01", "Gain", page).fill("50")
    page.keyboard.press("Tab")
    sees(page.locator("[data-status]"), "not saved yet")
    warned = []
    page.on("dialog", lambda dialog: (warned.append(dialog.type), dialog.accept()))
    page.close(run_before_unload=True)
    page.wait_for_event("close")
    assert warned == ["beforeunload"]
    again = page.context.new_page()
    again.context.set_offline(False)
    again.goto(address)

    has(of("PR-01", "Gain", again), "50 dB")
    sees(again.locator("[data-status]"), "All saved.")
    assert kept(vocal, "PR-01", "gain") == 50
    failed_requests_are_meant(watch)


def test_second_editor_chooses_between_both_versions(vocal, page_of, engineer, assistant, watch):
    address = f"/chains/{vocal.pk}/settings/"
    first, second = page_of(assistant.username), page_of(engineer.username)
    for page in (first, second):
        page.goto(address)

    def types(page, tag, label, text):
        of(tag, label, page).fill(text)
        page.keyboard.press("Tab")

    types(first, "PR-01", "Gain", "40")
    has(of("PR-01", "Gain", first), "40 dB")
    types(second, "CO-01", "Ratio", "7:1")  # elsewhere: nobody is in the way, and news comes in
    has(of("PR-01", "Gain", second), "40 dB")

    types(first, "PR-01", "Gain", "45")
    has(of("PR-01", "Gain", first), "45 dB")
    types(second, "PR-01", "Gain", "50")
    sees(second.locator(".control .two-versions"), "Piran Tolle saved this while you were typing")
    assert of("PR-01", "Gain", second).input_value() == "50"
    assert kept(vocal, "PR-01", "gain") == 45
    press(second, "Save mine: 50")
    has(of("PR-01", "Gain", second), "50 dB")
    assert kept(vocal, "PR-01", "gain") == 50

    types(first, "PR-01", "Gain", "loud")
    sees(first.locator(".invalid"), "“loud” is not understood here")
    assert of("PR-01", "Gain", first).input_value() == "loud"
    types(first, "PR-01", "Gain", "30")
    press(first, "Keep theirs: 50 dB")
    has(of("PR-01", "Gain", first), "50 dB")

    sees(first.locator("[data-status]"), "All saved.")
    assert kept(vocal, "PR-01", "gain") == 50
    assert Stage.objects.filter(revision__chain=vocal, settings__ratio=7).count() == 1
    failed_requests_are_meant(watch)
