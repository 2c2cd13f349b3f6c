"""Reading a recall that another studio wrote, and refusing what is none."""

import copy
import io
import json

import pikepdf
import pytest

from sessions.recall.imported.chains import chains_of_data
from sessions.recall.imported.reading import JSON_LIMIT, read_recall
from sessions.recall.imported.sense import NotARecall
from sessions.recall.sheet.schema import SCHEMA_FILE, VERSION
from sessions.recall.sound.data import measurements_data
from tests.sessions.recall.imported.bombs import pdf_of_bombs
from tests.sessions.recall.sound.measurements import of_tones

SCHEMA = json.loads(SCHEMA_FILE.read_text("utf-8"))
MODEL = {
    "maker": "Hobweir",
    "name": "Stile 1",
    "category": "preamplifier",
    "transducer": "",
    "phantom": "harmless",
    "own_supply": False,
    "warm_up_minutes": 0,
    "sensitivity_mv_pa": None,
    "self_noise_dba": None,
    "equivalent_input_noise_dbu": None,
    "max_spl_db": None,
    "output_impedance_ohm": None,
    "input_level": "microphone",
    "output_level": "line",
    "max_input_dbu": None,
    "max_output_dbu": 26,
    "nominal_level_dbu": 4,
}
GAIN = {
    "key": "gain",
    "label": "Gain",
    "group": "Input",
    "kind": "continuous",
    "scale": "linear",
    "unit": "dB",
    "marks": [{"value": 0, "angle": -150, "label": ""}, {"value": 60, "angle": 150, "label": ""}],
    "meaning": "gain",
    "band": None,
    "tolerance_degrees": 5,
}
PLACED = {
    "distance_cm": 22,
    "height_cm": 150,
    "angle_deg": 0,
    "orientation": "upright",
    "pattern": "cardioid",
    "pop_filter": False,
    "pop_filter_cm": None,
    "note": "",
}
GROUP = {
    "name": "Pair",
    "arrangement": "spaced",
    "seat": "left",
    "spacing_cm": 60,
    "included_angle_deg": None,
}
SESSION = {"title": "Vocals", "starts_at": "2026-06-01T10:00:00+00:00"}
STAGE = {
    "position": 1,
    "path": "printed",
    "unit": {"asset_tag": "P-01", "serial_number": "P3117", "model": MODEL, "supply": None},
    "patched_in_at": {
        "bay": "Bay 1",
        "row": "B",
        "column": 1,
        "label": "Pre 1 in",
        "level": "microphone",
        "side": "return",
    },
    "patched_out_at": None,
    "panel": {"version": 2, "controls": [GAIN]},
    "settings": {"gain": 35},
    "note": "",
    "tone_reading_dbu": -5,
    "reading_out_dbu": None,
    "planned_reduction_low_db": None,
    "planned_reduction_high_db": None,
}
CHAIN = {
    "place": 1,
    "source": "Alto voice",
    "part": "Lead vocal",
    "track": "Ld Vox",
    "destination_input": "Input 1",
    "setup": "Morning",
    "session": SESSION,
    "revision": 3,
    "fixed_at": "2026-06-01T11:00:00+00:00",
    "note": "",
    "levels": {
        "source_spl_db": None,
        "source_distance_cm": None,
        "source_dbu": None,
        "tone_hz": 1000,
        "tone_dbu": -40,
        "readings_from_revision": 3,
    },
    "placement": None,
    "stages": [STAGE],
    "connections": [{"from_stage": 1, "to_stage": None, "to_input": "Input 1"}],
}
RECALL = {
    "format": "recall sheet",
    "version": 1,
    "studio": "Oriel Yard",
    "address": "https://oriel-yard.example/songs/1/recall-sheet/",
    "song": {
        "title": "Slow the Lantern",
        "artist": "The Windlass Four",
        "project": "Ninth Tide EP",
        "client": "Thole & Ledger Records",
        "key": "D minor",
        "meter": "4/4",
        "tempo_map": [{"bar": 1, "bpm": 92}],
        "sample_rate_hz": 48000,
        "bit_depth": 24,
        "full_scale_dbu": 18,
        "isrc": "",
        "iswc": "",
        "note": "",
    },
    "takes": [],
    "chains": [CHAIN],
}


def recall(**changes) -> dict:
    return copy.deepcopy(RECALL) | changes


def chain_with(**changes) -> dict:
    return recall(chains=[CHAIN | changes])


def stage_with(**changes) -> dict:
    return chain_with(stages=[STAGE | changes])


def as_json(data) -> bytes:
    return json.dumps(data).encode()


def pdf_with(**files: bytes) -> bytes:
    pdf, made = pikepdf.new(), io.BytesIO()
    pdf.add_blank_page()
    for name, content in files.items():
        pdf.attachments[name.replace("_", ".")] = pikepdf.AttachedFileSpec(pdf, content)
    pdf.save(made)
    return made.getvalue()


def refusal(content: bytes) -> str:
    with pytest.raises(NotARecall) as refused:
        read_recall(content)
    return str(refused.value)


def test_json_and_pdf_with_it_attached_are_read_alike():
    written = as_json(RECALL)

    assert read_recall(written) == RECALL
    assert read_recall(pdf_with(photo_png=b"no", recall_json=written)) == RECALL


def test_chain_that_was_read_is_one_to_set_up_again():
    (chain,) = chains_of_data(read_recall(as_json(RECALL)))

    (stage,) = chain.stages
    assert str(chain) == "Alto voice →\u00a0Ld Vox, revision 3"
    assert (stage.unit_in_words, stage.category) == ("Hobweir Stile 1 (P-01)", "preamplifier")
    assert [(control.label, value) for control, value in stage.logged()] == [("Gain", 35)]
    assert stage.patched == "in at Bay 1 B1 Pre 1 in"
    assert (stage.unit_id, stage.patch_in) == (None, None)


def test_measurements_that_are_not_known_are_passed_over():
    measured = chain_with(measurements={"response": {"at_hz": [20], "db": [-1.5]}})

    assert read_recall(as_json(measured)) == measured


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "neither a PDF nor a JSON file"),
        (b"RIFF\x00\x00WAVE", "neither a PDF nor a JSON file"),
        (b'{"format": "recall sheet", "chains": NaN}', "neither a PDF nor a JSON file"),
        (b"[" * 100_000, "neither a PDF nor a JSON file"),
        (b"[" * 40 + b"]" * 40, "not a recall sheet"),
        (b'{"format": "delivery"}', "not a recall sheet"),
        (b"[1, 2]", "not a recall sheet"),
        (b"%PDF-1.7 and then nothing", "damaged or locked"),
        (pdf_with(), "No recall data is attached"),
        (pdf_with(note_txt=b"{}"), "No recall data is attached"),
        (pdf_with(recall_json=b"{"), "neither a PDF nor a JSON file"),
        (as_json(recall(version=VERSION + 1)), "update this program"),
        (as_json(recall(version="1")), "version: must be integer"),
        (as_json(recall(takes=None)), "takes: must be array"),
        (as_json(recall(more="")), "more: is not known"),
        (as_json({"format": "recall sheet", "version": 1}), "is missing “studio”"),
        (as_json(stage_with(path="both")), "chains[1].stages[1].path: is a word"),
        (as_json(stage_with(settings={"gain": "loud"})), "settings.gain: must be number"),
        (as_json(stage_with(settings={"bias": 3})), "bias is set but not on its panel"),
        (as_json(stage_with(settings={"gain": 1e300})), "larger than anything"),
        (as_json(stage_with(note="x" * 20_000)), "longer than any note"),
        (as_json(stage_with(note="x\x00")), "is no text"),
        (as_json(stage_with(tone_reading_dbu=999)), "impossible level"),
        (as_json(chain_with(stages=[STAGE, STAGE])), "not in order"),
        (as_json(recall(chains=[CHAIN, CHAIN])), "chains are not in order"),
        (as_json(recall(chains=[CHAIN] * 101)), "more than 100 chains"),
        (
            as_json(stage_with(panel={"version": 1, "controls": [GAIN | {"marks": []}]})),
            "Chain 1, unit 1, Gain: A continuous control needs at least two marks",
        ),
        (
            as_json(stage_with(panel={"version": 1, "controls": [GAIN, GAIN]})),
            "one of them twice",
        ),
        (
            as_json(
                stage_with(
                    settings={}, panel={"version": 1, "controls": [GAIN | {"key": "k" * 41}]}
                )
            ),
            "key is longer than 40 letters",
        ),
        (
            as_json(chain_with(placement=PLACED | {"angle_deg": 1_000})),
            "impossible level, distance",
        ),
        (as_json(chain_with(group=GROUP | {"spacing_cm": 1e6})), "impossible level, distance"),
        (
            as_json(chain_with(measurements=measurements_data([of_tones(through=9)]))),
            "measured through a unit that it does not have",
        ),
        (as_json(chain_with(group=GROUP | {"included_angle_deg": 1e4})), "distance or angle"),
    ],
)
def test_what_is_no_recall_is_refused_with_what_to_do(content, said):
    assert said in refusal(content)


def test_file_that_is_too_large_is_refused():
    assert "larger than 5 MB" in refusal(as_json({"format": "x" * JSON_LIMIT}))


def test_attachment_that_swells_is_refused():
    """Its length is asked before it is unpacked: 6 MB of data in a PDF of a few kB."""
    assert "larger than 5 MB" in refusal(pdf_of_bombs(megabytes=6))


def test_of_several_attachments_the_sheets_own_is_read():
    written = as_json(RECALL)

    assert read_recall(pdf_with(a_json=b"{}", recall_json=written, z_json=b"{}")) == RECALL
