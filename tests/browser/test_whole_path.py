"""The whole job, once, as three people do it: the manager books, the engineer documents, logs and
hands in a rough mix, the mix engineer recalls. Given are the house's people, its equipment and one
room; everything else goes in by hand."""

import hashlib
import re
from datetime import timedelta

import pytest
from django.utils import timezone
from django.utils.formats import date_format

from sessions.deliverables.measured import measure
from sessions.deliverables.models import DeliverableFile
from studio.demo.equipment import fill_equipment
from tests import signals
from tests.browser.forms import (
    choose,
    field,
    fill_in,
    find,
    follow,
    has_value,
    press,
    sees,
    strike,
    tick,
)
from tests.drawings import code_says, drawings
from tests.factories import PersonFactory, RoomFactory
from tests.printed import page_texts

pytestmark = pytest.mark.browser

MICROPHONE = "Skerrow Acoustic Culvert (MC-02)"
PREAMPLIFIER = "Hobweir Stile 8 (PR-01)"
COMPRESSOR = "Marl & Hythe Drystone (CO-01)"
REVERBERATION = "Pellitory Undercroft (FX-01)"
CONVERTER = "Sessile Bract 16 (AD-01)"
FIRST_CHANNEL = "Sessile Bract 16 (AD-01/1)"  # the first that is free
FIRST_PREAMPLIFIER = "Hobweir Stile 8 (PR-01/1)"

# Unit, its controls as they are typed, and the rest of its stage.
STAGES = [
    (MICROPHONE, {"Pattern": "cardioid", "Pad": "out"}, {"out": "Floor 1"}),
    (
        PREAMPLIFIER,
        {"48 V": "on", "Polarity": "normal", "Low cut": "45 Hz", "Gain": "30"},
        {"as": FIRST_PREAMPLIFIER},
    ),
    (
        COMPRESSOR,
        {
            "Threshold": "12 o'clock",
            "Ratio": "4:1",
            "Attack": "10 ms",
            "Release": "0.2 s",
            "Make-up": "+4",
            "Compressor": "in",
            "Gain reduction": "4",
        },
        {},
    ),
    (REVERBERATION, {"Pre-delay": "25 ms", "Decay": "1.8"}, {"path": "Monitor only"}),
    (CONVERTER, {"Full scale": "18"}, {"in": "Record 1", "as": FIRST_CHANNEL}),
]

# Degrees clockwise from straight up: an hour of the clock is 30 of them.
POINTERS = {
    "Gain": -20,  # 30 dB is engraved at 11:20
    "Threshold": 30,  # -4 dBu: -6 is at 12:30 and 2 at 2:30, so a quarter of the way
    "Ratio": 30,  # 4:1 at 1 o'clock
    "Attack": -7,  # 10 ms: log between 6 at 10:30 and 20 at 1:30
    "Release": -65,  # 200 ms: log between 90 at 7:30 and 250 at 10:30
    "Make-up": -45,  # 4 dB at 10:30
    "Pre-delay": -30,  # 25 ms at 11 o'clock
}


@pytest.fixture
def house(manager, engineer, mix_engineer):
    PersonFactory(name="Ulric Yarrell", user=engineer, bookable=True)
    RoomFactory(name="Rope Floor")
    fill_equipment()


def test_whole_path(page_of, house, tmp_path):
    morning = timezone.localtime().replace(hour=10, minute=0) + timedelta(days=7)

    manager = page_of("odile")
    make_client_project_and_song(manager)
    book_session(manager, morning)
    be_refused_the_same_room(manager, morning)

    engineer = page_of("ulric")
    build_chain(engineer)
    place_microphone(engineer)
    log_takes_and_change_a_setting(engineer)
    hand_in_rough_mix(engineer, tmp_path)

    mixer = page_of("kerensa")
    pdf = recall(mixer)
    check_words_on_paper(pdf)
    check_drawings_on_paper(pdf, address=mixer.url)


def make_client_project_and_song(page) -> None:
    follow(page, "Clients", "New client")
    fill_in(page, {"Name": "Thole & Ledger Records", "E-mail": "desk@thole-and-ledger.example"})
    press(page, "Save")
    follow(page, "New project")
    fill_in(page, {"Name": "Ninth Tide EP", "Artist": "The Windlass Four"})
    tick(page, "Kerensa Graith")
    press(page, "Save")
    follow(page, "New song")
    fill_in(page, {"Title": "Slow the Lantern", "Time signature": "4/4", "Tempo map": "1: 92"})
    press(page, "Save")
    follow(page, "New part")
    fill_in(page, {"Name": "Lead vocal"})
    press(page, "Save")
    sees(page, "Lead vocal saved", "Slow the Lantern")


def book_session(page, morning) -> None:
    follow(page, "Ninth Tide EP", "Book a session")
    fill_in(page, {"Title": "Lead vocal", **period(morning, hours=8)})
    tick(page, "Rope Floor", "Ulric Yarrell", "Confirmed")
    find(page, "Gear", MICROPHONE, PREAMPLIFIER, COMPRESSOR)
    press(page, "Book")
    sees(page, "Who is told", "Thole & Ledger Records, client", "Nothing is saved yet")
    press(page, "Save and send")
    sees(page, "Lead vocal booked: confirmed")


def be_refused_the_same_room(page, morning) -> None:
    """Told who has it, for what and when; and nothing that was typed is lost."""
    afternoon = morning + timedelta(hours=5)
    typed = {"Title": "Readings", "Note": "Bring the lamp.", **period(afternoon, hours=8)}

    follow(page, "Sessions", "Book a session")
    find(page, "Project", "Ninth Tide EP")
    page.get_by_text("Note and what is left to do").click()
    fill_in(page, typed)
    page.get_by_label("Rope Floor").check()  # who has it stands beside it already
    tick(page, "Confirmed")
    press(page, "Book")

    day = date_format(morning, "D j M Y")
    reason = (
        "Rope Floor is taken by “Lead vocal” (Ninth Tide EP, Thole & Ledger Records), confirmed: "
        f"{day}, 15:00 to 18:00."
    )
    sees(page.locator(".field", has=page.get_by_label("Rope Floor")), reason)
    assert {label: field(page, label).input_value() for label in typed} == typed
    has_value(page.get_by_role("combobox", name="Project"), "Ninth Tide EP")
    assert page.get_by_label("Rope Floor").is_checked()
    assert page.get_by_label("Confirmed", exact=True).is_checked()
    follow(page, "Sessions")
    assert page.locator("tbody tr").count() == 1


def build_chain(page) -> None:
    follow(page, "Sessions", "Lead vocal")
    press(page, "Start", "Start anyway")  # a week early
    follow(page, "Setups", "New setup")
    fill_in(page, {"Name": "Lead vocal, morning", "Buffer": "128"})
    press(page, "Save")
    follow(page, "New chain")
    page.get_by_label("Slow the Lantern: Lead vocal").check()
    fill_in(
        page, {"Source": "Hesper, alto voice", "Track": "Ld Vox", "Destination input": "Input 1"}
    )
    press(page, "Save")
    for unit, settings, stage in STAGES:
        follow(page, "Add a unit")
        fill_in(page, {"Add a unit": unit})
        press(page, "Add to the chain")
        follow(page, "Chain", f"Edit settings of {stage.get('as', unit)}")
        fill_in(page, settings)
        if "in" in stage:
            choose(page, "Patched in at", stage["in"])
        if "out" in stage:
            choose(page, "Patched out at", stage["out"])
        if "path" in stage:
            tick(page, stage["path"])
        press(page, "Save")
        sees(page, f"{unit} saved.")


def place_microphone(page) -> None:
    follow(page, "Placement")
    fill_in(page, {"Distance": "22", "Height": "158", "Angle": "10", "Pattern": "Cardioid"})
    choose(page, "Orientation", "Upright")
    fill_in(page, {"Pop filter to capsule": "9"})
    press(page, "Save")
    sees(page, "Placement saved.", "22 cm", "9 cm from the capsule")


def log_takes_and_change_a_setting(page) -> None:
    """Take 1 and 2 through revision 1; then less into the compressor, and take 3 is circled."""
    chain = page.url
    follow(page, "Lead vocal", "Takes")
    choose(page, "Song", "Slow the Lantern")
    choose(page, "Setup", "Lead vocal, morning")
    press(page, "Select song")
    sees(page, "Slow the Lantern: Lead vocal", "Next take of Slow the Lantern.")
    take(page, "f")
    sees(page, "Take 1: false start.")
    take(page, "c")
    sees(page, "Take 2: complete.")
    tracking = page.url

    page.goto(chain)
    follow(page, f"Edit settings of {COMPRESSOR}")
    fill_in(page, {"Threshold": "-4", "Gain reduction": "3"})
    press(page, "Save")
    sees(page, "This is revision 2 now; revision 1 stays, since takes were recorded through it.")

    page.goto(tracking)
    take(page, "c")
    sees(page, "Take 3: complete.", "now through Hesper, alto voice → Ld Vox, revision 2")
    strike(page, "o")
    sees(page, "Take 3 circled: chosen.")


def take(page, mark: str) -> None:
    """It rolls, and is marked."""
    page.wait_for_selector("[data-tracking][data-ready]")
    strike(page, "t")
    sees(page, "Rolling since")
    strike(page, mark)


def hand_in_rough_mix(page, folder) -> None:
    """A tone whose figures are known: 1 kHz on both channels at -18 dBFS measures -18.0 LUFS
    (ITU-R BS.1770-5: at 0 dBFS on one of two channels it reads -3.01 LKFS)."""
    tone = signals.tone(5, -18, fade_seconds=0.02)
    mix = signals.write_wav(folder / "WF_SlowTheLantern_Rough.wav", signals.stereo(tone))

    follow(page, "Songs", "Slow the Lantern", "Upload")
    choose(page, "Kind", "Rough mix")
    field(page, "Files").set_input_files(mix)
    press(page, "Upload")
    page.wait_for_url(re.compile(r"/deliverables/\d+/$"))
    measure.call(DeliverableFile.objects.get().pk)
    page.reload()

    sees(page, "Rough mix 1", "48 kHz", "24 bit", "stereo", "0:05.0")
    figures = page.locator(".reading")
    sees(figures.filter(has_text="Sample peak"), "−18.0")
    sees(figures.filter(has_text="True peak"), "−18.0")
    sees(figures.filter(has_text="Integrated loudness"), "−18.0")
    sees(page, hashlib.sha256(mix.read_bytes()).hexdigest())


def recall(page) -> bytes:
    """The sheet on the page, and the same as PDF."""
    sees(page, "Ready for recall")
    follow(page, "Recall sheet of Slow the Lantern")
    sees(page, "Lead vocal, take 3", "Revision 2", "Sheet as PDF")
    assert "evision 1" not in page.locator("main").inner_text()
    knobs = page.get_by_role("img", name=re.compile("^Threshold: −4.0 dBu"))
    assert knobs.count() == 1
    answer = page.request.get(page.get_by_role("link", name="Sheet as PDF").get_attribute("href"))
    assert answer.headers["content-type"] == "application/pdf"
    return answer.body()


def check_words_on_paper(pdf: bytes) -> None:
    """Values, units and patch points of the chosen take's chain; nothing of the other takes'."""
    pages = page_texts(pdf)
    text = " ".join(pages)
    for said in [
        *["30 dB", "11:20", "−4.0 dBu", "4:1", "10 ms", "200 ms", "4 dB", "1.8 s", "25 ms"],
        *["45 Hz", "+18.0 dBu", "22 cm", "158 cm", "9 cm from the capsule"],
        *["Floor 1", "Pre 1 in", "Pre 1 out", "Dry 1 in", "Dry 1 out", "Record 1", "Input 1"],
        *["MC-02", "PR-01", "CO-01", "FX-01", "AD-01", "printed", "monitor only"],
        *["Lead vocal, take 3", "circled", "Hesper, alto voice → Ld Vox", "Revision 2"],
    ]:
        assert said in text, said
    for left_out in ["revision 1", "−8.0 dBu", "take 1", "take 2"]:
        assert left_out not in text, left_out
    assert [f"Page {n} of {len(pages)}" in page for n, page in enumerate(pages, 1)] == [True] * len(
        pages
    )


def check_drawings_on_paper(pdf: bytes, address: str) -> None:
    """Every knob is there in ink, points where it was set, and the QR code leads to the page."""
    code, placement, *drawn = drawings(pdf)
    curves = [each for each in drawn if re.match("(Filter|Compressor) of ", each.words)]
    controls = [each for each in drawn if each not in curves]

    assert code_says(code, address)
    assert "22 cm from the capsule" in placement.words
    assert [each.words.partition(" of ")[0] for each in curves] == ["Filter", "Compressor"]
    assert len(controls) == 2 + 5 + 8 + 3 + 1  # those that were not logged, too
    assert [each.words for each in controls if not 0.02 < each.share_of_ink < 0.3] == []
    pointers = {name: pointer(controls, name) for name in POINTERS}
    assert pointers == pytest.approx(POINTERS, abs=6)


def pointer(controls, name: str) -> float:
    return next(each for each in controls if each.words.startswith(f"{name}: ")).points_to()


def period(starts_at, *, hours: int) -> dict[str, str]:
    """What is typed for a period."""
    ends_at = starts_at + timedelta(hours=hours)
    return {"Starts": f"{starts_at:%Y-%m-%dT%H:%M}", "Ends": f"{ends_at:%Y-%m-%dT%H:%M}"}
