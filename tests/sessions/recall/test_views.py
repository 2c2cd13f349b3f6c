"""The recall of a song, as a page and as paper read back."""

import io
import re

import pikepdf
import pypdf
import pytest
from django.urls import reverse

from gear.equipment.models import Unit
from gear.panels.models import Kind
from gear.patchbay.models import PatchPoint
from sessions.paper import PaperSize
from sessions.setups.models import Orientation, Path
from studio.demo.equipment import fill_equipment
from tests.factories import (
    ControlFactory,
    PartFactory,
    PatchPointFactory,
    PlacementFactory,
    RecordingSessionFactory,
    RevisionFactory,
    StageFactory,
    TakeFactory,
)
from tests.printed import (
    MILLIMETRE,
    accessibility_errors,
    collisions,
    enclosed_in,
    fonts_of,
    page_texts,
    rendered,
    text_of,
    words_of,
)
from tests.sessions.recall.recorded import chain_of, record

pytestmark = pytest.mark.django_db

HOSTILE = "Ease off <img src=file:///etc/hostname> <script>alert(1)</script>"
A4 = (210 * MILLIMETRE, 297 * MILLIMETRE)

# Tag: path, patched in at, patched out at, settings. As the panels of Harbour Lane are engraved.
STAGES = [
    ("M-01", Path.PRINTED, None, None, {"low-cut": 1}),
    ("S-01", Path.PRINTED, None, "A1", {"power": 1, "pattern": 2}),
    (
        "P-01",
        Path.PRINTED,
        "B1",
        "A5",
        {"48-v": 0, "polarity": 0, "gain": 35, "trim": 2.5, "middle-frequency": 2200},
    ),
    ("C-01", Path.PRINTED, "B8", "A8", {"threshold": -10, "ratio": 4, "gain-reduction": 3}),
    ("D-07", Path.MONITOR_ONLY, "B5", None, {"fader": -10, "filter": 1}),
    ("A-01", Path.PRINTED, "B10", None, {"full-scale": 18}),
]
SAID = [
    "Low cut 60 Hz",
    "Power on",
    "Pattern cardioid 12 o'clock",
    "48 V off",
    "Polarity normal",
    "Gain 35 dB 10 o'clock",
    "Trim +2.5 dB quarter past 1",
    "Low not logged",
    "Middle frequency 2.2 kHz",
    "Threshold −10 dBu 1 o'clock",
    "Ratio 4:1 12 o'clock",
    "Attack not logged",
    "Gain reduction 3 dB",
    "Fader −10 dB 55 % of travel",
    "Filter in",
    "Full scale +18 dBu",
]
POINTS = [
    "Bay 1 A1 Wall 1",
    "Bay 1 B1 Pre 1 in",
    "Bay 1 A5 Pre 1 out",
    "Bay 1 B8 Slack 1 in",
    "Bay 1 A8 Slack 1 out",
    "Bay 1 B5 Line 1",
    "Bay 1 B10 Record 1",
]


def point(place):
    if not place:
        return None
    return PatchPoint.objects.get(row=place[0], column=int(place[1:]))


@pytest.fixture
def part():
    return PartFactory(name="Lead vocal", song__title="Haul Away the Morning")


@pytest.fixture
def session(part):
    return RecordingSessionFactory(project=part.song.project)


@pytest.fixture
def take(part, session):
    """Recorded through a valve microphone, its supply, a preamplifier and a compressor."""
    fill_equipment()
    chain = chain_of(part, session=session, destination_input="Recorder in 1")
    for position, (tag, path, patched_in, patched_out, settings) in enumerate(STAGES, 1):
        unit = Unit.objects.select_related("model").get(asset_tag=tag)
        StageFactory(
            revision=chain,
            position=position,
            unit=unit,
            panel=unit.model.current_panel(),
            path=path,
            patch_in=point(patched_in),
            patch_out=point(patched_out),
            settings=settings,
            note=HOSTILE if tag == "C-01" else "",
        )
    PlacementFactory(revision=chain, distance_cm=20, orientation=Orientation.HUNG)
    return record(TakeFactory(part=part, session=session, number=7, circled=True), chain)


def pdf_of(client, song, **query):
    return client.get(reverse("recall:song_pdf", args=[song.pk]), query)


def test_paper_holds_every_setting_with_its_unit_and_every_patch_point(client_of, engineer, take):
    response = pdf_of(client_of(engineer), take.song)
    pdf = response.getvalue()
    text = text_of(pdf)

    assert response["Content-Disposition"] == (
        'inline; filename="recall-sheet-haul-away-the-morning.pdf"'
    )
    assert [said for said in SAID if said not in text] == []
    assert [name for name in POINTS if name not in text] == []
    assert text.count("output, plugged directly") == 2  # of the microphone and the converter
    assert "20 cm from the capsule to the source" in text
    assert "hung upside down" in text
    assert "Lead vocal, take 7" in text
    assert "The maker’s instructions, local codes and licensed practice come first." in text
    assert HOSTILE in text
    pages = page_texts(pdf)
    assert [f"Page {n} of {len(pages)}" in page for n, page in enumerate(pages, 1)] == [
        True for _ in pages
    ]


def test_paper_never_calls_a_monitor_only_stage_printed(client_of, engineer, take):
    text = text_of(pdf_of(client_of(engineer), take.song).getvalue())

    said = re.findall(r"\b([MSPCDA]-0\d) (printed|monitor only)", text)

    words = {tag: Path(path).label.lower() for tag, path, *_ in STAGES}
    assert {tag for tag, _ in said} == set(words)
    assert [(tag, word) for tag, word in said if word != words[tag]] == []
    assert said.count(("D-07", "monitor only")) == 3  # in the path, the levels and the heading
    assert "(D-07) Bay 1 B5 Line 1 monitor only" in text


def test_paper_is_tagged_has_alternative_texts_and_only_our_fonts(client_of, engineer, take):
    pdf = pdf_of(client_of(engineer), take.song).getvalue()

    assert set(fonts_of(pdf)) == {
        "StudioSans-Regular",
        "StudioSans-SemiBold",
        "StudioSans-Italic",
        "StudioMono-Regular",
        "StudioMono-SemiBold",
    }
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert str(opened.docinfo.Title) == "Recall sheet: Haul Away the Morning"
        figures = [item for item in opened.objects if _is_figure(item)]
        spoken = [str(figure.get("/Alt", "")) for figure in figures]
    assert "Gain: 35 dB, 10 o'clock" in spoken
    assert "Attack: not logged" in spoken
    assert (
        len([words for words in spoken if words.startswith("QR code to http://testserver/")]) == 1
    )
    controls = sum(
        stage.panel.controls.count() for stage in take.revisions.get().stages.all() if stage.panel
    )
    placement = [words for words in spoken if words.startswith("Placement from the side")]
    assert "distance: 20 cm from the capsule to the source" in placement[0]
    curves = [words for words in spoken if words.startswith(("Filter of", "Compressor of"))]
    assert len(spoken) == controls + 1 + len(placement) + len(curves)
    assert len(curves) == 2
    assert "" not in spoken


@pytest.mark.parametrize("size", PaperSize)
def test_paper_is_read_aloud_without_error_and_carries_its_data(client_of, engineer, take, size):
    client = client_of(engineer)

    pdf = pdf_of(client, take.song, paper=size).getvalue()

    assert accessibility_errors(pdf) == []
    fetched = client.get(reverse("recall:song_json", args=[take.song.pk])).content
    assert enclosed_in(pdf) == {"recall.json": fetched}


def _is_figure(item):
    return isinstance(item, pikepdf.Dictionary) and item.get("/S") == "/Figure"


def test_knobs_on_paper_are_drawn(client_of, engineer, take):
    pdf = pdf_of(client_of(engineer), take.song).getvalue()
    pages = rendered(pdf, dots_per_inch=144)

    gain = next(word for word in words_of(pdf) if word.text == "Gain")
    attack = next(word for word in words_of(pdf) if word.text == "Attack")

    # The drawing stands within the 16 mm on the left of its label; on paper, ink is the share of
    # dark pixels. A ring without pointer, dashed, has less of it than a ring with a thick pointer.
    assert 0.08 < _ink_beside(gain, pages) < 0.4
    assert 0.01 < _ink_beside(attack, pages) < _ink_beside(gain, pages)


def _ink_beside(word, pages):
    page = pages[word.page]
    left, right = word.left - 16 * MILLIMETRE, word.left - 2 * MILLIMETRE
    top, bottom = A4[1] - word.top - MILLIMETRE, A4[1] - word.top + 13 * MILLIMETRE
    cut = page.crop([round(2 * edge) for edge in (left, top, right, bottom)])
    dark = sum(cut.histogram()[:128])
    return dark / (cut.width * cut.height)


@pytest.mark.parametrize(("paper", "width", "margin"), [("a4", 210, 15), ("a5", 148, 9)])
def test_long_names_and_words_stay_on_the_paper_and_apart(
    client_of, engineer, part, session, paper, width, margin
):
    word = "Mittenfrequenzanhebungsregelungsknopfes"
    forty = "The Long Suffering Harbour Master’s Wife"
    assert (len(word), len(forty)) == (39, 40)
    part.name, part.song.title = word, word * 3
    part.save()
    part.song.save()
    chain = chain_of(
        part, session=session, source=word * 2, track=forty, destination_input=word[:40]
    )
    for position, path in enumerate((Path.PRINTED, Path.MONITOR_ONLY), 1):
        stage = StageFactory(
            revision=chain,
            position=position,
            path=path,
            unit__model__maker=word * 2,
            unit__model__name=f"{position}{forty}",
            unit__asset_tag=f"{word[:19]}{position}",
            patch_in=PatchPointFactory(bay__name=f"{word}{position}", label=word),
            patch_out=PatchPointFactory(bay__name=f"{position}{word}", label=forty),
            note=word * 4,
        )
        for label in (word, forty, "Gain", "Gain"):
            ControlFactory(panel=stage.panel, label=label, group=word)
        marks = [
            {"value": 0, "angle": 0, "label": word},
            {"value": 1, "angle": 1, "label": forty},
        ]
        switch = ControlFactory(panel=stage.panel, label=word, kind=Kind.SWITCH, marks=marks)
        stage.settings = {switch.key: 0}
        stage.save()
    PlacementFactory(revision=chain, pattern=word, note=forty * 4)
    record(TakeFactory(part=part, session=session, circled=True, note=word * 3), chain)

    pdf = pdf_of(client_of(engineer), part.song, paper=paper).getvalue()
    words = words_of(pdf)

    left, right = margin * MILLIMETRE, (width - margin) * MILLIMETRE
    outside = [word.text for word in words if word.left < left - 1 or word.right > right + 1]
    assert outside == []
    assert collisions(words) == []


def test_page_says_the_same_as_the_paper(client_of, engineer, take):
    response = client_of(engineer).get(reverse("recall:song", args=[take.song.pk]))
    markup = re.sub(r"<[^>]+>", " ", re.sub(r"(?s)<svg.*?</svg>", " ", response.content.decode()))
    text = " ".join(markup.replace("&#x27;", "'").split())

    assert response.status_code == 200
    assert [said for said in SAID if said not in text] == []
    assert [name for name in POINTS if name not in text] == []
    assert "<script>alert" not in response.content.decode()
    assert "<img src=file" not in response.content.decode()
    assert reverse("recall:song_pdf", args=[take.song.pk]) in response.content.decode()


def test_page_and_paper_leave_out_a_rejected_takes_chain(client_of, engineer, take, session):
    rejected = chain_of(take.part, session=session, source="Alto voice behind the curtain")
    record(TakeFactory(part=take.part, session=session, number=8, mark="no_good"), rejected)
    client = client_of(engineer)

    page = client.get(reverse("recall:song", args=[take.song.pk])).content.decode()
    paper = text_of(pdf_of(client, take.song).getvalue())

    assert "Alto voice" in page
    assert "Alto voice" in paper
    assert "curtain" not in page
    assert "curtain" not in paper


def test_change_between_revisions_during_the_takes_is_told(client_of, engineer, part, session):
    first = chain_of(part, session=session)
    stage = StageFactory(revision=first, position=1, settings={"gain": 30})
    ControlFactory(panel=stage.panel, key="gain", label="Gain")
    second = RevisionFactory(chain=first.chain, number=2)
    StageFactory(
        revision=second, position=1, unit=stage.unit, panel=stage.panel, settings={"gain": 36}
    )
    for number, revision in enumerate((first, second), 1):
        record(TakeFactory(part=part, session=session, number=number, circled=True), revision)
    client = client_of(engineer)

    page = client.get(reverse("recall:song", args=[part.song.pk])).content.decode()
    text = text_of(pdf_of(client, part.song).getvalue())

    assert "Changed since revision 1" in page
    assert f"{stage.unit} Gain 30 dB, 12 o'clock 36 dB, 1 o'clock" in text


SIZES = {"a4": (210, 297), "letter": (215.9, 279.4), "a5": (148, 210)}


@pytest.mark.parametrize(
    ("paper", "size"), [("a5", "a5"), ("letter", "letter"), ("", "a4"), ("a0", "a4")]
)
def test_paper_comes_in_the_size_asked_for(client_of, engineer, part, paper, size):
    address = reverse("recall:song_pdf", args=[part.song.pk])

    pdf = client_of(engineer).get(address, {"paper": paper}).getvalue()

    box = pypdf.PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    millimetres = (float(box.width) / MILLIMETRE, float(box.height) / MILLIMETRE)
    assert millimetres == pytest.approx(SIZES[size], abs=0.1)


def test_several_chains_start_on_pages_that_the_contents_name(client_of, engineer, part, session):
    for number, source in enumerate(("Alto voice", "Fiddle"), 1):
        chain = chain_of(part, session=session, source=source)
        record(TakeFactory(part=part, session=session, number=number, circled=True), chain)

    pages = page_texts(pdf_of(client_of(engineer), part.song).getvalue())

    assert "Alto voice to Ld Vox, revision 1, page 2" in pages[0]
    assert "Fiddle to Ld Vox, revision 1, page 3" in pages[0]
    assert "Chain 1 of 2: Alto voice to Ld Vox, revision 1" in pages[1]
    assert "Chain 2 of 2: Fiddle to Ld Vox, revision 1" in pages[2]
    assert len(pages) == 3


def test_photo_of_the_placement_is_on_the_page_and_paper_says_so(
    client_of, engineer, part, session
):
    chain = chain_of(part, session=session)
    placement = PlacementFactory(revision=chain, photo="placements/2026/06/stand.jpg")
    record(TakeFactory(part=part, session=session, circled=True), chain)
    client = client_of(engineer)

    page = client.get(reverse("recall:song", args=[part.song.pk])).content.decode()
    paper = text_of(pdf_of(client, part.song).getvalue())

    assert reverse("setups:photo", args=[placement.pk]) in page
    assert "A photo of it stands on the page." in paper


@pytest.mark.parametrize(
    ("circled", "on_page", "on_paper"),
    [
        (False, "No take is chosen yet", "No take of this song is chosen yet"),
        (
            True,
            "No chain was documented for these takes",
            "No chain was documented for these takes",
        ),
    ],
)
def test_empty_recall_says_why(client_of, engineer, part, session, circled, on_page, on_paper):
    TakeFactory(part=part, session=session, circled=circled)
    client = client_of(engineer)

    page = client.get(reverse("recall:song", args=[part.song.pk]))
    paper = pdf_of(client, part.song)

    assert on_page in page.content.decode()
    assert on_paper in text_of(paper.getvalue())


@pytest.mark.parametrize("page", ["recall:song", "recall:song_pdf"])
def test_mix_engineer_recalls_only_own_projects(client_of, mix_engineer, mixed_project, page):
    theirs = PartFactory(song__project=mixed_project).song
    other = PartFactory().song
    client = client_of(mix_engineer)

    answer = client.get(reverse(page, args=[theirs.pk]))
    assert (answer.status_code, bool(answer.getvalue())) == (200, True)
    assert client.get(reverse(page, args=[other.pk])).status_code == 404


def test_paper_may_be_shown_by_the_browsers_own_reader(client_of, engineer, part):
    """A browser's reader brings styles and scripts of its own, which `default-src` would refuse."""
    paper = pdf_of(client_of(engineer), part.song)

    assert paper.getvalue()
    assert paper["Content-Security-Policy"] == "frame-ancestors 'none'"
