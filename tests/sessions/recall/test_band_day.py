"""A band day: three songs, five takes each, eight parts at once through twelve chains, a mid/side pair
that is set alike, a ribbon at a phantom switch that serves four inputs, gains moved between takes and
one while a take rolls. Every recall, of song and part, against a list kept by hand."""

import random

import pytest
from django.urls import reverse

from gear.equipment.phantom import NEVER
from sessions.bookings.models import Status
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import recall_data
from sessions.setups.editor.actions import set_field
from sessions.setups.editor.keys import stage_keys
from sessions.setups.models import Arrangement, ChainGroup, Seat
from sessions.songs.models import Song
from sessions.takes.actions import circle_parts, log_take, mark_take
from sessions.takes.models import Mark
from tests.factories import (
    ChainFactory,
    ControlFactory,
    PanelFactory,
    PartFactory,
    ProjectFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    SongFactory,
    StageFactory,
    UnitFactory,
    UserFactory,
)
from tests.sessions.recall.sheet.test_data import problems

pytestmark = pytest.mark.django_db

PARTS = ["Bass", "Cornet", "Drums", "Euphonium", "Flute", "Piano", "Tenor horn", "Voice"]
# Each input: its source, and the part that it carries; the room carries whatever is recorded.
INPUTS = [
    *(("Bass, direct box", "Bass"), ("Bass, amplifier", "Bass"), ("Cornet", "Cornet")),
    *(("Kick", "Drums"), ("Overhead, mid", "Drums"), ("Overhead, side", "Drums")),
    *(("Euphonium", "Euphonium"), ("Flute", "Flute")),
    *(("Piano", "Piano"), ("Tenor horn", "Tenor horn"), ("Voice", "Voice"), ("Room", None)),
]
TITLES = ["Neap and Spring", "Seven Bells Round", "Slow the Lantern"]
PAIR = {"Overhead, mid": Seat.MID, "Overhead, side": Seat.SIDE}
BANK = ["Bass, direct box", "Bass, amplifier", "Cornet", "Kick"]  # the first four channels
RIBBON = "Cornet"
ROLLING = ("Seven Bells Round", 3, "Bass, direct box")  # moved in the middle of that take


class Day:
    """The setup that stands, with a gain on each input, and what a careful hand would write."""

    def __init__(self, seed: int):
        self.dice, self.by = random.Random(seed), UserFactory()
        project = ProjectFactory()
        self.session = RecordingSessionFactory(project=project, status=Status.UNDER_WAY)
        self.songs = [SongFactory(project=project, title=title) for title in TITLES]
        parts = {
            (song.title, name): PartFactory(song=song, name=name, position=place)
            for song in self.songs
            for place, name in enumerate(PARTS, 1)
        }
        self.setup = SetupFactory(session=self.session)
        self.chains, self.gains, self.written = {}, {}, []
        unit = UnitFactory(model__channels=12, model__phantom_bank=4)
        ribbon = UnitFactory(model__category="microphone", model__phantom="harmful")
        pair = ChainGroup.objects.create(
            setup=self.setup, name="Overheads", arrangement=Arrangement.MID_SIDE
        )
        panel = PanelFactory(model=unit.model)
        ControlFactory(panel=panel, key="gain")
        switch = {"kind": "switch", "meaning": "phantom", "label": "48 V", "unit": ""}
        positions = [
            {"value": value, "angle": value, "label": label}
            for value, label in enumerate(["off", "on"])
        ]
        ControlFactory(panel=panel, key="phantom", marks=positions, **switch)
        for place, (source, name) in enumerate(INPUTS, 1):
            carried = [parts[title, name] for title in TITLES] if name else []
            paired = {"group": pair, "seat": PAIR[source]} if source in PAIR else {}
            facts = {"setup": self.setup, "position": place, "parts": carried, **paired}
            revision = RevisionFactory(chain=ChainFactory(source=source, **facts))
            if source == RIBBON:
                StageFactory(revision=revision, unit=ribbon, panel=None, position=1)
            stage = {"unit": unit, "channel": place, "panel": panel, "settings": {"gain": 30}}
            StageFactory(revision=revision, position=2, **stage)
            chain = revision.chain
            self.chains[source], self.gains[source] = chain, 30

    def turn(self, source: str) -> None:
        was = self.gains[source]
        value = self.dice.choice([gain for gain in range(18, 60, 6) if gain != was])
        chain = self.chains[source]
        [key] = [
            key
            for key, stage in stage_keys(chain.newest_revision().stages.all()).items()
            if stage.panel
        ]
        facts = {"key": key, "name": "control-gain", "was": was, "value": value}
        set_field(chain, by=self.by, **facts)
        for each in PAIR if source in PAIR else [source]:
            self.gains[each] = value

    def record(self, song: Song, number: int) -> None:
        parts = list(song.parts.all())
        take = log_take(*parts, session=self.session, setup=self.setup, rolling=True)
        written = {source: [gain] for source, gain in self.gains.items()}
        if (song.title, number) == ROLLING[:2]:
            self.turn(ROLLING[2])
            written[ROLLING[2]].append(self.gains[ROLLING[2]])
        seen = dict(take.take_parts.values_list("pk", "version"))
        mark_take(take, seen=seen, mark=Mark.COMPLETE)
        self.written.append((song.title, take.number, written))
        for each in take.take_parts.all():
            if self.dice.random() < 0.4 or (song.title, number, each.part.name) == (
                *ROLLING[:2],
                "Bass",
            ):
                circle_parts(take, seen={each.pk: each.version}, circled=True)
        for source in self.gains:
            if self.dice.random() < 0.2:
                self.turn(source)


def by_hand(day: Day, title: str, name: str) -> list:
    """Take, what the part went through, and what of it came while it rolled: from the list alone."""
    return [
        (
            name,
            number,
            [
                (source, gain)
                for source, carries in INPUTS
                if carries in (name, None)
                for gain in gains[source]
            ],
            [
                (source, gain)
                for source, carries in INPUTS
                if carries in (name, None)
                for gain in gains[source][1:]
            ],
        )
        for song, number, gains in day.written
        if song == title
    ]


def told(data: dict) -> list:
    """The same, read off a recall's data."""
    chains = {chain["place"]: chain for chain in data["chains"]}

    def said(place):
        chain = chains[place]
        return chain["source"], chain["stages"][-1]["settings"]["gain"]

    return [
        (
            take["part"],
            take["number"],
            sorted(map(said, take["chains"])),
            [said(changed["chain"]) for changed in take["changed_while_rolling"]],
        )
        for take in data["takes"]
    ]


def data_of(subject) -> dict:
    return recall_data(recall_sheet(subject), studio="Quay Steps", address="http://x/")


@pytest.mark.parametrize("seed", [1, 2])
def test_recall_of_each_part_and_song_holds_exactly_what_it_should(seed):
    day = Day(seed)
    for song in day.songs:
        for number in range(1, 6):
            day.record(song, number)

    for song in Song.objects.select_related("project__client"):
        expected = []
        for part in song.parts.all():
            circled = set(part.takes.filter(take_parts__part=part, take_parts__circled=True))
            numbers = {take.number for take in circled}
            of_part = [
                (name, number, sorted(through), rolling)
                for name, number, through, rolling in by_hand(day, song.title, part.name)
                if number in numbers
            ]
            expected += of_part
            part.song = song
            data = data_of(part)
            assert problems(data) == []
            assert (data["part"], told(data)) == (part.name, of_part)
            through = {said for *_, through, _ in of_part for said in through}
            assert chains_in(data) == through
            check_pair_and_bank(part, through)
        data = data_of(song)
        assert (data["part"], told(data)) == (None, expected)
        through = {said for *_, through, _ in expected for said in through}
        assert chains_in(data) == through
        check_pair_and_bank(song, through)
    assert len(told(data_of(day.songs[1]))) > 5


def chains_in(data: dict) -> set:
    return {(chain["source"], chain["stages"][-1]["settings"]["gain"]) for chain in data["chains"]}


def source_of(chain) -> str:
    return chain.revision.source_facts.name


def check_pair_and_bank(subject, through: set) -> None:
    """The pair's sides say so, and no input at the ribbon's switch is to be given 48 V."""
    sheet = recall_sheet(subject)
    sources = {source for source, _gain in through}
    facts = [(source_of(chain), chain.revision.group_facts) for chain in sheet.chains]
    assert {(name, group.arrangement, group.seat) for name, group in facts if group} == {
        (source, Arrangement.MID_SIDE, seat) for source, seat in PAIR.items() if source in sources
    }
    harmed = set(BANK) & sources if RIBBON in sources else set()
    assert {(source_of(track.chain), track.phantom) for track in sheet.tracks if track.phantom} == {
        (source, NEVER) for source in harmed
    }


def test_page_and_data_of_a_part_say_when_a_gain_was_moved(client_of, engineer):
    day = Day(1)
    song = day.songs[1]
    for number in range(1, 4):
        day.record(song, number)
    bass = song.parts.get(name="Bass")
    web = client_of(engineer)

    page = web.get(reverse("recall:part", args=[bass.pk])).content.decode()
    data = web.get(reverse("recall:part_json", args=[bass.pk])).json()

    [changed] = [each for take in data["takes"] for each in take["changed_while_rolling"]]
    assert data["address"].endswith(reverse("recall:part", args=[bass.pk]))
    assert "while take 3 rolled" in page
    assert changed["since"] > data["takes"][-1]["started_at"]
    assert "Kick" not in page
    assert "Room" in page
