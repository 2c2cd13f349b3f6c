"""The recall as data: whole, and by the schema in the repository."""

import json
from datetime import UTC, datetime

import pytest
from django.urls import reverse
from jsonschema import Draft202012Validator

from gear.equipment.models import Category, Phantom, SignalLevel, Transducer, Unit, UnitState
from gear.panels.models import Kind, Meaning, Scale
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import recall_data, recall_json
from sessions.recall.sheet.schema import SCHEMA_FILE, VERSION
from sessions.setups.chains.actions import open_revision
from sessions.setups.models import Arrangement, Orientation, Path, Seat, Subject
from sessions.songs.actions import write_lyrics
from sessions.songs.lyrics import read_lyrics
from sessions.songs.models import LyricLine, Song
from sessions.takes.models import CompChoice, Mark, TakeKind
from tests.factories import (
    ControlFactory,
    PartFactory,
    PatchPointFactory,
    PlacementFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)
from tests.sessions.recall.patched import patched_vocal, sheet_of
from tests.sessions.recall.recorded import chain_of, record

SCHEMA = json.loads(SCHEMA_FILE.read_text())
ADDRESS = "https://studio.quay-steps.example/songs/1/recall-sheet/"


def problems(data) -> list[str]:
    validator = Draft202012Validator(SCHEMA)
    return [f"{error.json_path}: {error.message}" for error in validator.iter_errors(data)]


@pytest.fixture
def song(db):
    """Recorded through a microphone with its supply, and a preamplifier that was only listened to."""
    part = PartFactory(name="Lead vocal", song__tempo_map=[{"bar": 1, "bpm": 96}])
    chain = chain_of(part, destination_input="Recorder in 1", source="Alto voice")
    chain.tone_hz, chain.tone_dbu, chain.note = 1000, 4, "As on the demo."
    chain.save()
    microphone = StageFactory(
        revision=chain,
        position=1,
        unit=UnitFactory(asset_tag="M-01", supply=UnitFactory(asset_tag="S-01")),
        panel=None,
        patch_out=PatchPointFactory(label="Wall 1"),
        tone_reading_dbu="-38.25",
    )
    preamplifier = StageFactory(
        revision=chain,
        position=2,
        unit__asset_tag="P-01",
        patch_in=microphone.patch_out,
        path=Path.MONITOR_ONLY,
        settings={"gain": 35, "low-cut": 1},
    )
    ControlFactory(panel=preamplifier.panel, position=1, key="gain")
    ControlFactory(panel=preamplifier.panel, position=2, key="trim", unit="dB", band=2)
    ControlFactory(
        panel=preamplifier.panel,
        position=3,
        key="low-cut",
        kind=Kind.SWITCH,
        marks=[{"value": 0, "angle": 0, "label": "out"}, {"value": 1, "angle": 1, "label": "in"}],
    )
    PlacementFactory(revision=chain, distance_cm="22.5", orientation=Orientation.HUNG)
    record(TakeFactory(part=part, number=7, circled=True), chain)
    return part.song


def data_of(song) -> dict:
    loaded = Song.objects.select_related("project__client").get(pk=song.pk)
    return recall_data(recall_sheet(loaded), studio="Quay Steps Studio", address=ADDRESS)


def test_schema_is_a_schema():
    Draft202012Validator.check_schema(SCHEMA)


def test_data_keep_to_the_schema(song):
    assert problems(data_of(song)) == []


def test_schema_notices_what_is_missing_or_of_another_kind(song):
    data = data_of(song)
    del data["song"]["title"]
    data["chains"][0]["stages"][1]["settings"]["gain"] = "35"
    data["chains"][0]["stages"][0]["path"] = "recorded"
    data["remark"] = "unheard of"

    assert sorted(text.partition(":")[0] for text in problems(data)) == [
        "$",
        "$.chains[0].stages[0].path",
        "$.chains[0].stages[1].settings.gain",
        "$.song",
    ]


def test_data_hold_what_the_chain_was_built_of(song):
    (chain,) = data_of(song)["chains"]
    microphone, preamplifier = chain["stages"]

    assert (chain["source"], chain["track"], chain["revision"]) == ("Alto voice", "Ld Vox", 1)
    assert chain["levels"]["tone_hz"] == 1000
    assert chain["levels"]["tone_dbu"] == 4
    assert chain["placement"]["distance_cm"] == 22.5
    assert chain["placement"]["orientation"] == "hung"
    assert microphone["path"] == "printed"
    assert microphone["unit"]["supply"]["asset_tag"] == "S-01"
    assert microphone["patched_out_at"]["label"] == "Wall 1"
    assert microphone["tone_reading_dbu"] == -38.25
    assert microphone["panel"] is None
    assert preamplifier["path"] == "monitor only"
    assert preamplifier["settings"] == {"gain": 35, "low-cut": 1}
    assert [control["key"] for control in preamplifier["panel"]["controls"]] == [
        "gain",
        "trim",
        "low-cut",
    ]
    assert chain["connections"] == [
        {"from_stage": 1, "to_stage": 2, "to_input": ""},
        {
            "from_stage": 1,
            "to_stage": None,
            "to_input": "Recorder in 1",
        },
    ]


@pytest.fixture
def patched(db):
    take = patched_vocal()
    return recall_data(sheet_of(take), studio="Quay Steps Studio", address=ADDRESS)


def test_data_of_a_patched_chain_keep_to_the_schema(patched):
    assert problems(patched) == []


def test_data_hold_the_patch_list_as_the_sheet_prints_it(patched):
    found = patched["chains"][0]["patch_list"]

    assert [
        (
            link["cord"],
            *(link[end]["jack"] and link[end]["jack"]["label"] for end in ("from", "to")),
        )
        for link in found["links"]
    ] == [
        (1, "Wall 1", "Pre 1 in"),
        (2, "Pre 1 out", "Comp 1 in"),
        (None, None, None),
        (None, None, None),
    ]
    assert [link["path"] for link in found["links"]][2:] == ["monitor only", "printed"]
    assert [use["tie_line"] for use in found["tie_lines"]] == ["Loft, box 1 1"]
    assert [broken["upper"]["label"] for broken in found["normals_broken"]] == ["Effect out"]
    assert [tap["lower"]["label"] for tap in found["taps"]] == ["Recorder in 2"]


def test_data_hold_the_level_plan_with_its_reference(patched):
    """94 dB SPL is 1 Pa: 20 mV, which is -31.76 dBu."""
    (chain,) = patched["chains"]
    plan = chain["level_plan"]
    microphone, preamplifier, *_ = plan["stages"]

    assert chain["facts_kept"] is True
    assert chain["recorded_as"] == {
        "sample_rate_hz": 48000,
        "bit_depth": 24,
        "full_scale_dbu": 18,
        "clock": "",
        "click": "",
    }
    assert (microphone["in_spl_db"], microphone["in_dbu"]) == (94, None)
    assert (microphone["out_dbu"], microphone["headroom_db"]) == (-31.76, 36)
    assert (preamplifier["headroom_db"], preamplifier["read_dbu"]) == (31.76, None)
    assert plan["converter_dbfs"] == -49.76


def test_data_hold_what_was_heard(patched):
    (heard,) = patched["headphones"]

    assert heard["kept"] is True
    assert heard["takes"] == [{"part": "Lead vocal", "number": 1}]
    assert heard["mixes"] == [
        {
            "name": "Singer",
            "listeners": ["Wren Tolland"],
            "box": "Hobweir Cornice (H-01)",
            "output": "2",
            "lines": [
                {"heard": "Alto voice", "level": "0 dB", "pan": "centre"},
                {"heard": "Click", "level": "just there", "pan": "left"},
            ],
            "level_dba": 84.5,
            "minutes_a_day": None,
            "note": "Dry, please.",
        }
    ]


def test_data_hold_curves_and_what_changed_between_the_takes(song):
    part = song.parts.get()
    first = part.chains.get().revisions.get()
    second = open_revision(first.chain, by=first.created_by)
    stage = second.stages.get(position=2)
    stage.settings = {"gain": 38, "low-cut": 1}
    stage.save()
    control = stage.panel.controls.get(key="gain")
    record(TakeFactory(part=part, number=8, circled=True), second)

    before, after = data_of(song)["chains"]

    assert (before["changes"], before["other_revisions"]) == (None, [2])
    assert after["changes"] == {
        "since_revision": 1,
        "rows": [
            {"where": "Chain", "what": "Note", "before": "As on the demo.", "after": "empty"},
            {
                "where": f"{stage.unit}",
                "what": control.label,
                "before": "35 dB, 12:50",
                "after": "38 dB, 1:20",
            },
        ],
    }
    assert after["stages"][1]["curves"] == []
    assert problems(data_of(song)) == []


def test_data_hold_what_todays_record_says_otherwise(db):
    """The preamplifier went to the bench, and its data sheet was read again."""
    take = patched_vocal()
    unit = Unit.objects.select_related("model").get(asset_tag="P-01")
    unit.state, unit.model.max_input_dbu = UnitState.ON_THE_BENCH, 10
    unit.save()
    unit.model.save()

    data = recall_data(sheet_of(take), studio="Quay Steps Studio", address=ADDRESS)

    preamplifier = data["chains"][0]["stages"][1]
    assert preamplifier["standing_today"].startswith("on the bench")
    assert preamplifier["changed_since"] == [
        {"fact": "maximum input", "then": "0.0 dBu", "today": "+10.0 dBu"}
    ]
    assert preamplifier["unit"]["model"]["max_input_dbu"] == 0
    assert data["chains"][0]["level_plan"]["stages"][1]["headroom_db"] == 31.76
    assert problems(data) == []


def as_of_version_2(data: dict) -> dict:
    """The same as it was written when takes had one part and changes were made between them."""
    del data["part"]
    for take in data["takes"]:
        for name in ("punched_into", "started_at", "ended_at", "grade", "note_on_part"):
            del take[name]
        del take["changed_while_rolling"]
    for chain in data["chains"]:
        chain["part"] = ", ".join(chain.pop("parts"))
    return data | {"version": 2}


def test_files_of_earlier_versions_may_lack_what_came_later(patched):
    second = as_of_version_2(patched)
    assert problems(second) == []
    assert problems(second | {"version": 3}) != []
    del second["headphones"]
    del second["chains"][0]["patch_list"]
    assert len(problems(second)) == 2

    assert problems(second | {"version": 1}) == []


def test_takes_point_to_the_chains_they_went_through(song):
    data = data_of(song)

    (take,) = data["takes"]
    assert (take["part"], take["number"], take["chosen_because"]) == ("Lead vocal", 7, "circled")
    assert take["chains"] == [data["chains"][0]["place"]]


def test_data_go_by_the_names_of_the_time(song):
    """The unit has got another tag since; what was recorded through it keeps the old one."""
    part = PartFactory(song=song)
    chain = chain_of(part)
    unit = UnitFactory(asset_tag="P-77", model__maker="Skerry")
    StageFactory(revision=chain, unit=unit)
    record(TakeFactory(part=part, circled=True), chain)
    unit.asset_tag, unit.model.maker = "P-02", "Skerry & Sons"
    unit.save()
    unit.model.save()

    (stage,) = next(each for each in data_of(song)["chains"] if each["parts"] == [part.name])[
        "stages"
    ]

    assert stage["unit"]["asset_tag"] == "P-77"
    assert stage["unit"]["model"]["maker"] == "Skerry"


def test_same_sheet_gives_the_same_bytes(song):
    loaded = Song.objects.select_related("project__client").get(pk=song.pk)
    files = [
        recall_json(recall_sheet(loaded), studio="Quay Steps Studio", address=ADDRESS)
        for _ in range(2)
    ]

    assert files[0] == files[1]
    assert json.loads(files[0])["chains"][0]["fixed_at"] <= datetime.now(UTC).isoformat()


def test_song_without_chosen_take_is_data_too(db):
    data = data_of(PartFactory().song)

    assert problems(data) == []
    assert data["takes"] == data["chains"] == []


def test_data_can_be_fetched_as_a_file(client_of, engineer, song):
    song.title = "Überfahrt"
    song.save()

    response = client_of(engineer).get(reverse("recall:song_json", args=[song.pk]))

    assert response["Content-Type"] == "application/json"
    assert response["Content-Disposition"] == 'attachment; filename="recall-uberfahrt.json"'
    assert problems(response.json()) == []
    assert response.json()["address"] == f"http://testserver/songs/{song.pk}/recall-sheet/"


def test_mix_engineer_gets_data_of_own_projects_only(client_of, mix_engineer, mixed_project):
    theirs, other = PartFactory(song__project=mixed_project).song, PartFactory().song
    client = client_of(mix_engineer)

    answers = [client.get(reverse("recall:song_json", args=[song.pk])) for song in (theirs, other)]

    assert [answer.status_code for answer in answers] == [200, 404]


def test_data_say_which_line_comes_from_which_take(db):
    """A punch-in gives the second line; the coda has no words, and nothing chosen."""
    part = PartFactory(name="Lead vocal")
    text = "[Verse, bar 9]\nHaul\n[bar 12] Away\n[Coda, bar 17]"
    write_lyrics(part.song, version=part.song.version, written=read_lyrics(text))
    haul, away = LyricLine.objects.order_by("position")
    whole = TakeFactory(part=part, number=4)
    punch_in = TakeFactory(
        part=part, number=6, session=whole.session, kind="punch_in", into=whole, punch_in="bar 12"
    )
    CompChoice.objects.create(part=part, take=whole, line=haul)
    CompChoice.objects.create(part=part, take=punch_in, line=away)

    data = recall_data(sheet_of(whole), studio="Quay Steps Studio", address=ADDRESS)

    head = ("section", "line", "begins", "ends", "take", "punched_into")
    lines = [
        ("Verse", "Haul", "bar 9", "bar 12", 4, None),
        ("Verse", "Away", "bar 12", "bar 17", 6, 4),
        ("Coda", None, "bar 17", "", None, None),
    ]
    assert data["comps"] == [
        {"part": "Lead vocal", "lines": [dict(zip(head, line, strict=True)) for line in lines]}
    ]
    assert problems(data) == []
    del data["comps"]
    assert problems(data) != []
    assert problems(data | {"version": 4}) == []


def test_measurements_have_a_place_that_readers_may_ignore(patched):
    assert patched["version"] == VERSION == 6
    patched["chains"][0]["measurements"] = {"response": {"at_hz": [20, 1000], "db": [-1.5, 0]}}
    assert problems(patched) == []
    assert problems(patched | {"version": 5}) == []
    assert problems(patched | {"version": 7}) != []

    patched["chains"][0]["measurements"] = []

    assert problems(patched) == ["$.chains[0].measurements: [] is not of type 'object'"]


@pytest.mark.parametrize(
    ("of", "name", "choices"),
    [
        ("model", "category", Category),
        ("model", "transducer", Transducer),
        ("model", "phantom", Phantom),
        ("model", "input_level", SignalLevel),
        ("control", "kind", Kind),
        ("control", "scale", Scale),
        ("control", "meaning", Meaning),
        ("placement", "orientation", Orientation),
        ("take", "mark", Mark),
        ("take", "kind", TakeKind),
        ("photo", "subject", Subject),
        ("group", "arrangement", Arrangement),
        ("group", "seat", Seat),
    ],
)
def test_schema_knows_every_word_that_can_be_chosen_here(of, name, choices):
    known = set(SCHEMA["$defs"][of]["properties"][name]["enum"])

    assert known - {""} == set(choices.values)
