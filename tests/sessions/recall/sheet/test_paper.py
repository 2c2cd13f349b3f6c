"""The recall sheet as a PDF: what it says, how it is drawn, who can read it."""

import io
import re

import numpy as np
import pikepdf
import pypdf
import pytest
from django.urls import reverse

from gear.panels.models import Kind
from sessions.papers.pdf import PaperSize
from sessions.setups.models import Path
from sessions.songs.models import Song
from tests.factories import (
    ControlFactory,
    PatchPointFactory,
    PlacementFactory,
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
from tests.sessions.recall.said import HOSTILE, POINTS, SAID, STAGES, pdf_of

pytestmark = pytest.mark.django_db

A4 = (210 * MILLIMETRE, 297 * MILLIMETRE)


def test_paper_holds_every_setting_with_its_unit_and_every_patch_point(client_of, engineer, take):
    response = pdf_of(client_of(engineer), take.song)
    pdf = response.getvalue()
    text = text_of(pdf)

    assert response["Content-Disposition"] == (
        'inline; filename="recall-sheet-slow-the-lantern.pdf"'
    )
    assert [said for said in SAID if said not in text] == []
    assert [name for name in POINTS if name not in text] == []
    assert text.count("direct cable") == 2  # of the microphone and the converter
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

    said = re.findall(r"\b([A-Z]{2}-0\d) [^→]{5,50}? · (printed|monitor only)", text)

    assert said == [(tag, Path(path).label.lower()) for tag, path, *_ in STAGES]


def test_frame_and_way_are_dashed_where_only_monitored_and_solid_where_printed(
    client_of, engineer, take
):
    """On a photocopy: every dot is black or white."""
    pdf = pdf_of(client_of(engineer), take.song).getvalue()
    pages = [np.asarray(page) < 128 for page in rendered(pdf, dots_per_inch=150)]
    names = {word.text: word for word in words_of(pdf) if word.page == 1}

    frames = {tag: _ink_above(names[tag], pages) for tag, *_ in STAGES}

    for tag, path, *_ in STAGES:
        if path == Path.MONITOR_ONLY:
            assert 0.3 < frames[tag] < 0.8, tag
        else:
            assert frames[tag] > 0.99, tag
    spine = round((14 + 2.6 + 0.3) / 25.4 * 150)
    way = pages[1][_dots(names["MV-01"].top) : _dots(names["AD-01"].bottom), spine - 2 : spine + 3]
    assert way.any(axis=1).mean() > 0.9  # white only in the circles of the units


def _ink_above(word, pages):
    """The share of ink in the line over the name: the top of the unit's frame."""
    top, left = _dots(word.top), round(word.left / 72 * 150)
    lines = pages[word.page][top - 30 : top - 2, left : left + 600]
    return float(lines.mean(axis=1).max())


def _dots(height: float) -> int:
    """Of points from the foot of an A4 page, dots from its top."""
    return round((A4[1] - height) / 72 * 150)


def test_paper_is_tagged_has_alternative_texts_and_only_our_fonts(client_of, engineer, take):
    pdf = pdf_of(client_of(engineer), take.song).getvalue()

    assert set(fonts_of(pdf)) == {
        "Studio-Sans",
        "Studio-Sans-Semi-Bold",
        "Studio-Sans-Italic",
        "Studio-Mono",
    }
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert str(opened.docinfo.Title) == "Recall sheet: Slow the Lantern"
        figures = [item for item in opened.objects if _is_figure(item)]
        spoken = [str(figure.get("/Alt", "")) for figure in figures]
    assert "Gain: 30 dB, 11:20" in spoken
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
    Song.objects.update(title="潮の唄", note="Πνοή, Прилив, عود")

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

    # The drawing stands within the 9 mm on the left of its label; on paper, ink is the share of
    # dark pixels. A ring without pointer, dashed, has less of it than a ring with a thick pointer.
    assert 0.08 < _ink_beside(gain, pages) < 0.4
    assert 0.01 < _ink_beside(attack, pages) < _ink_beside(gain, pages)


def _ink_beside(word, pages):
    page = pages[word.page]
    left, right = word.left - 9 * MILLIMETRE, word.left - 0.8 * MILLIMETRE
    top, bottom = A4[1] - word.top, A4[1] - word.top + 8.2 * MILLIMETRE
    cut = page.crop([round(2 * edge) for edge in (left, top, right, bottom)])
    dark = sum(cut.histogram()[:128])
    return dark / (cut.width * cut.height)


@pytest.mark.parametrize(("paper", "width", "margin"), [("a4", 210, 14), ("a5", 148, 9.8)])
def test_long_names_and_words_stay_on_the_paper_and_apart(
    client_of, engineer, part, session, paper, width, margin
):
    word = "Mittenfrequenzanhebungsregelungsknopfes"
    forty = "The Long Suffering Wharfinger’s Daughter"
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


def test_chains_stand_behind_the_page_for_the_song_and_each_is_kept_whole(
    client_of, engineer, part, session
):
    for number, source in enumerate(("Alto voice", "Fiddle", "Flugelhorn"), 1):
        chain = chain_of(part, session=session, source=source)
        for position in range(1, 4):
            stage = StageFactory(revision=chain, position=position)
            ControlFactory.create_batch(7, panel=stage.panel)
        record(TakeFactory(part=part, session=session, number=number, circled=True), chain)

    front, *chains = page_texts(pdf_of(client_of(engineer), part.song).getvalue())

    assert "Units longest warm-up first, then in signal order" in front
    assert [
        [
            source
            for source in ("Alto voice", "Fiddle", "Flugelhorn")
            if f"{source} → Ld Vox" in page
        ]
        for page in chains
    ] == [["Alto voice", "Fiddle"], ["Flugelhorn"]]
