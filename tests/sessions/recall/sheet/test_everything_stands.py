"""What a stranger needs, fact by fact: on the page, on paper and in the data of a song that has all of it
logged. The list is that of the issue “A sheet that a stranger can trust”; a row more is a fact more."""

import json
import re
from base64 import b64decode
from hashlib import sha256
from html import unescape
from io import BytesIO
from itertools import islice

import pytest
from django.urls import reverse
from jsonschema import Draft202012Validator
from PIL import Image, ImageDraw

from gear.equipment.models import Category
from gear.panels.models import Kind
from sessions.recall.sheet.schema import SCHEMA_FILE
from sessions.rooms.models import Studio
from sessions.setups.models import Arrangement, ChainGroup, Orientation, Subject, Towards
from sessions.songs.actions import write_lyrics
from sessions.songs.lyrics import read_lyrics
from sessions.songs.models import LyricLine
from sessions.takes.models import CompChoice
from tests.factories import (
    ControlFactory,
    CreditFactory,
    PartFactory,
    PersonFactory,
    PhotoFactory,
    PlacementFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RevisionFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)
from tests.printed import text_of
from tests.sessions.recall.recorded import chain_of, record
from tests.sessions.recall.said import pdf_of

pytestmark = pytest.mark.django_db

MEDIA = ("page", "paper")

#: What it is; its words on page and paper (two, where they differ); where the data have it, and what.
FACTS = [
    ("engineer", "engineer Ulric Yarrell", "sessions.0.engineers.0", "Ulric Yarrell"),
    ("assistant", "assistant Piran Tolle", "sessions.0.assistants.0", "Piran Tolle"),
    ("room", "room Rope Floor", "sessions.0.rooms.0", "Rope Floor"),
    ("contact", "01632 960 007, desk@oakum.example", "contact.phone", "01632 960 007"),
    ("credits", "Mina Sprigge (Trombone)", "sessions.0.credits.1.instrument", "Trombone"),
    ("who sang", "Lead vocal by Hesper Dunnage", "takes.0.performer", "Hesper Dunnage"),
    ("where", "place Left of the piano", "chains.0.source_facts.place", "Left of the piano"),
    (
        "place in the group",
        "40 cm to the left, 15 cm in front",
        "chains.0.placement.across_cm",
        -40,
    ),
    ("group", "Voices: group", "chains.0.group.name", "Voices"),
    ("mark of the take", "Hesper Dunnage, master, grade 5", "takes.0.mark", "master"),
    ("note of the take", "Softer in the bridge", "takes.0.note", "Softer in the bridge"),
    ("note of the part", "(breath before Haul)", "takes.0.note_on_part", "breath before Haul"),
    ("comp lines", "take 7 for Verse", "comps.0.lines.0.line", "Haul"),
    ("angle", "30°, its axis points", "chains.0.placement.angle_deg", 30),
    ("its side", "points left of the source", "chains.0.placement.angle_towards", "left"),
    ("whose left", "left or right as one faces the source from the microphone", None, None),
    ("cable", "cable No. 14, blue", "chains.0.placement.cable", "No. 14, blue"),
    ("stand", "stand Tall boom", "chains.0.placement.stand", "Tall boom"),
    ("height", "height 160 cm", "chains.0.placement.height_cm", 160),
    ("input", "Recorder in 1", "chains.0.destination_input", "Recorder in 1"),
    ("converter channel", "AD-01/3", "chains.0.stages.2.unit.channel", 3),
    ("clock", "clock The converter, 48 kHz", "chains.0.recorded_as.clock", None),
    ("tone", "1 kHz, +4.0 dBu into unit 2, P-01", "chains.0.levels.tone_into_stage", 2),
    ("read on", "levels read on revision 1", "chains.0.levels.readings_from_revision", 1),
    (
        "changed since",
        "since revision 1, on which the levels were read:",
        "chains.0.levels.changed_since_readings.rows.0.before",
        "30 dB, 12:00",
    ),
    ("logged by", "Revision 2, logged by", "chains.0.logged_by", None),
    ("reading", "Gain reduction read 3 dB", "chains.0.stages.1.readings.0", "gain-reduction"),
    ("positions of a switch", "48 V on of off / on", "chains.0.stages.1.panel.controls.1", None),
    ("one of many", "Pattern cardioid 2 of 3", "chains.0.stages.1.settings.pattern", 1),
    ("all its marks", "Pattern omni, cardioid, eight", None, None),
    ("marks in even steps", "Gain 0, 10 … 60 dB (7 marks)", None, None),
    (
        "marks",
        "Low cut 20, 45, 110, 250 Hz",
        "chains.0.stages.1.panel.controls.2.marks.1.value",
        45,
    ),
    ("picture", "Placement: Alto voice", "chains.0.photos.0.subject", "placement"),
    ("what it shows", "Seen from the door", "chains.0.photos.0.caption", "Seen from the door"),
]


def marks(*labelled, step=50):
    return [
        {"value": value, "angle": -150 + step * place, "label": label}
        for place, (value, label) in enumerate(labelled)
    ]


def switch(*labels):
    return [{"value": n, "angle": n, "label": label} for n, label in enumerate(labels)]


def picture() -> BytesIO:
    """Dark on dark: a stand before a curtain."""
    image = Image.new("RGB", (1200, 900), (30, 30, 34))
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 0, 1200, 60), "white")
    draw.line((600, 880, 600, 300, 900, 200), (62, 62, 66), 30)
    written = BytesIO()
    image.save(written, "JPEG", quality=90)
    return written


@pytest.fixture
def song():
    """[M-01] -- [P-01: controls] -- [AD-01/3] -- Recorder in 1. Levels read on revision 1, take 7 on 2."""
    Studio.objects.create(
        pk=1, name="Quay Steps Studio", phone="01632 960 007", sender="desk@oakum.example"
    )
    singer = PersonFactory(name="Hesper Dunnage")
    part = PartFactory(name="Lead vocal", performer=singer)
    session = RecordingSessionFactory(project=part.song.project, title="Overdubs")
    ReservationFactory(session=session, room__name="Rope Floor")
    for name, role, instrument in (
        ("Piran Tolle", "assistant_engineer", ""),
        ("Mina Sprigge", "musician", "Trombone"),
        ("Ulric Yarrell", "recording_engineer", ""),
    ):
        CreditFactory(session=session, person__name=name, role=role, instrument=instrument)
    first = chain_of(part, session=session, source="Alto voice", destination_input="Recorder in 1")
    chain, setup = first.chain, first.chain.setup
    setup.clock_master, setup.rate_seen_hz = "The converter", 48_000
    setup.save()
    chain.source.performer, chain.source.place = singer, "Left of the piano"
    chain.source.save()
    chain.group = ChainGroup.objects.create(
        setup=setup, name="Voices", arrangement=Arrangement.GROUP
    )
    chain.save()
    units = [
        UnitFactory(asset_tag="M-01", model__category=Category.MICROPHONE),
        UnitFactory(asset_tag="P-01"),
        UnitFactory(asset_tag="AD-01", model__category=Category.CONVERTER, model__channels=8),
    ]
    second = RevisionFactory(chain=chain, number=2)
    panel = None
    for revision, gain in ((first, 30), (second, 36)):
        revision.tone_hz, revision.tone_dbu, revision.readings_from = 1000, 4, 1
        revision.save()
        StageFactory(revision=revision, position=1, unit=units[0], panel=None)
        settings = {"gain": gain, "p48": 1, "low-cut": 45, "pattern": 1, "gain-reduction": 3}
        facts = {"panel": panel} if panel else {}
        stage = StageFactory(
            revision=revision, position=2, unit=units[1], settings=settings, **facts
        )
        if panel is None:
            panel = stage.panel
            _controls(panel)
        StageFactory(revision=revision, position=3, unit=units[2], panel=None, channel=3)
        PlacementFactory(
            revision=revision,
            distance_cm=20,
            height_cm=160,
            angle_deg=30,
            angle_towards=Towards.LEFT,
            orientation=Orientation.UPRIGHT,
            stand="Tall boom",
            cable="No. 14, blue",
            across_cm=-40,
            along_cm=15,
        )
    PhotoFactory(
        revision=second,
        subject=Subject.PLACEMENT,
        about="Alto voice",
        caption="Seen from the door",
        file__from_func=picture,
    )
    write_lyrics(part.song, version=part.song.version, written=read_lyrics("[Verse]\nHaul"))
    take = TakeFactory(
        part=part,
        session=session,
        number=7,
        circled=True,
        mark="master",
        note="Softer in the bridge",
    )
    take.take_parts.update(grade=5, note="breath before Haul")
    CompChoice.objects.create(part=part, take=take, line=LyricLine.objects.get())
    record(take, second)
    return part.song


def _controls(panel) -> None:
    tens = [(n, f"{n}") for n in range(0, 70, 10)]
    cuts = [(n, f"{n}") for n in (20, 45, 110, 250)]
    patterns = ("omni", "cardioid", "eight")
    for position, facts in enumerate(
        [
            {"key": "gain", "label": "Gain", "unit": "dB", "marks": marks(*tens)},
            {"key": "p48", "label": "48 V", "kind": Kind.SWITCH, "marks": switch("off", "on")},
            {"key": "low-cut", "label": "Low cut", "unit": "Hz", "marks": marks(*cuts)},
            {
                "key": "pattern",
                "label": "Pattern",
                "kind": Kind.SWITCH,
                "marks": switch(*patterns),
            },
            {
                "key": "gain-reduction",
                "label": "Gain reduction",
                "kind": Kind.READING,
                "unit": "dB",
                "marks": marks((0, "0"), (10, "10")),
            },
        ],
        1,
    ):
        ControlFactory(
            panel=panel, position=position, **{"unit": "", "kind": Kind.CONTINUOUS} | facts
        )


def words_of(html: str) -> str:
    bare = re.sub(r"<[^>]+>", " ", re.sub(r"(?s)<svg.*?</svg>", " ", html))
    return tidied(unescape(bare))


def tidied(text: str) -> str:
    return re.sub(r" (?=[,.;:)])|(?<=\() ", "", " ".join(text.split()))


def found_in(data, path: str):
    for step in path.split("."):
        data = data[int(step)] if isinstance(data, list) else data[step]
    return data


@pytest.fixture
def shown(client_of, engineer, song) -> dict:
    client = client_of(engineer)
    return {
        "page": words_of(client.get(reverse("recall:song", args=[song.pk])).content.decode()),
        "paper": tidied(text_of(pdf_of(client, song).getvalue())),
        "data": client.get(reverse("recall:song_json", args=[song.pk])).json(),
    }


def test_every_fact_stands_on_page_and_paper_and_in_the_data(shown):
    missing = [
        (what, medium)
        for what, words, *_ in FACTS
        for medium in MEDIA
        if words not in shown[medium]
    ]
    for what, _, path, value in FACTS:
        found = found_in(shown["data"], path) if path else True
        if found != value if value is not None else not found:
            missing.append((what, "data", found))
    schema = Draft202012Validator(json.loads(SCHEMA_FILE.read_text()))

    assert missing == [], missing
    assert list(islice(schema.iter_errors(shown["data"]), 3)) == []


def test_picture_in_the_data_is_small_grey_and_the_one_on_paper(shown):
    [photo] = shown["data"]["chains"][0]["photos"]
    content = b64decode(photo["picture"]["base64"])
    image = Image.open(BytesIO(content))

    assert sha256(content).hexdigest() == photo["picture"]["sha256"]
    assert (image.mode, max(image.size)) == ("L", 400)
    assert len(content) <= 24_000


def test_picture_keeps_its_outlines_when_a_photocopier_knows_black_and_white_only(shown):
    """Thresholded at half, on the 150 dots to the inch of 40 mm of paper, the dark stand still stands out
    of the dark curtain: as it was taken, both would be black."""
    [photo] = shown["data"]["chains"][0]["photos"]
    image = Image.open(BytesIO(b64decode(photo["picture"]["base64"]))).resize((236, 177))
    dots = image.point(lambda grey: 255 * (grey >= 128))

    stand = [dots.getpixel((118, y)) for y in range(80, 165)]
    beside = [dots.getpixel((x, y)) for x in (100, 136) for y in range(80, 165)]
    assert sum(map(bool, stand)) > 0.9 * len(stand)
    assert sum(map(bool, beside)) < 0.2 * len(beside)
