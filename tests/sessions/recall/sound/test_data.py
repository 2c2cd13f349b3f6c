"""A measurement as data: by the schema, and the same when it is read back."""

import copy
import json
from dataclasses import replace
from datetime import datetime

import pytest
from jsonschema import Draft202012Validator

from gear.audio.proving.result import HERTZ
from sessions.recall.sheet.schema import SCHEMA_FILE
from sessions.recall.sound.data import measured_of, measurements_data
from tests.sessions.recall.sound.measurements import full, of_tones

SCHEMA = json.loads(SCHEMA_FILE.read_text("utf-8"))
MEASUREMENTS = Draft202012Validator({"$ref": "#/$defs/measurements", "$defs": SCHEMA["$defs"]})
BOTH = [full(), full(through=2), of_tones(changed_since=True)]


def read_back(data: dict):
    return measured_of(json.loads(json.dumps(data, allow_nan=False)), datetime.fromisoformat)


def test_what_is_written_is_by_the_schema_and_reads_back_the_same():
    data = measurements_data(BOTH)

    assert list(MEASUREMENTS.iter_errors(data)) == []
    once = read_back(data)
    assert [each.through for each in once] == [None, 2, None]
    assert measurements_data(once) == data
    assert once[2] == BOTH[2]


def test_of_several_of_the_same_the_first_counts():
    newer, older = full(), replace(full(), measured_by="Piran Tolle")

    [read] = read_back(measurements_data([newer, older]))

    assert read.measured_by == "Ulric Yarrell"


def test_what_another_program_adds_is_passed_over():
    data = measurements_data(BOTH) | {"impulses": [1, 2]}
    data["full"][0] |= {"room": "Rope Floor"}
    data["full"][0]["result"] |= {"phase_deg": [0]}

    assert list(MEASUREMENTS.iter_errors(data)) == []
    assert len(read_back(data)) == 3


def test_schema_has_the_frequencies_that_a_response_stands_at():
    response = SCHEMA["$defs"]["measured_result"]["properties"]["response_db"]

    assert (response["minItems"], response["maxItems"]) == (len(HERTZ), len(HERTZ))
    assert HERTZ[0] == pytest.approx(1000 * 10 ** (-136 / 80))
    assert HERTZ[-1] == pytest.approx(1000 * 10 ** (104 / 80))
    assert "n from -136 to 104" in response["description"]


@pytest.mark.parametrize(
    ("where", "value"),
    [
        (("response_db",), [0.0] * 240),
        (("response_db", 7), 4e5),
        (("polarity",), 2),
        (("rate_hz",), 0),
        (("noise_dbfs",), None),
        (("curve",), [{"in_dbfs": 0.0, "out_dbfs": 0.0}] * 201),
        (("curve", 0), [0.0, 0.0]),
        (("cannot_tell",), {f"{n}": "" for n in range(41)}),
        (("compression", "ratio"), "4:1"),
    ],
    ids=lambda value: ".".join(map(str, value)) if isinstance(value, tuple) else "",
)
def test_schema_refuses_what_no_measurement_says(where, value):
    data = copy.deepcopy(measurements_data([full()]))
    inside = data["full"][0]["result"]
    for name in where[:-1]:
        inside = inside[name]
    inside[where[-1]] = value

    assert list(MEASUREMENTS.iter_errors(data)) != []
