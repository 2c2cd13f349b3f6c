"""Measurements as the recall data have them (`measurements` of a chain in recall.schema.json), and read back.

The figures are those of `Result`; pairs become objects with names.
"""

from collections.abc import Iterable, Iterator
from datetime import datetime

from gear.audio.proving.result import Result
from gear.audio.proving.three_tones.tone import Tone
from sessions.recall.sound.measured import Measured, newest_of_each


def measurements_data(measured: Iterable[Measured]) -> dict:
    """By depth, in the order in which they come."""
    measured = list(measured)
    return {
        "full": [_full(each) for each in measured if each.is_full],
        "tones": [_tones(each) for each in measured if not each.is_full],
    }


def measured_of(data: dict, moment) -> tuple[Measured, ...]:
    """What `measurements_data` wrote, of each the first. `moment` reads a time, None where it is none."""
    full, tones = data.get("full", ()), data.get("tones", ())
    return newest_of_each((*_each_full(full, moment), *_each_of_tones(tones, moment)))


def _full(measured: Measured) -> dict:
    return {
        **_common(measured),
        "test_file": measured.test_file,
        "fed_dbu": measured.fed_dbu,
        "pad_db": measured.pad_db,
        "cable_taken_off": measured.cable_taken_off,
        "result": _result(measured.result),
    }


def _tones(measured: Measured) -> dict:
    return {**_common(measured), "read": [tone.as_json() for tone in measured.tones]}


def _common(measured: Measured) -> dict:
    return {
        "through_stage": measured.through,
        "measured_by": measured.measured_by,
        "measured_at": _written(measured.measured_at),
        "changed_since": measured.changed_since,
        "note": measured.note,
    }


def _written(at: datetime | None) -> str | None:
    return at.isoformat() if at else None


def _result(result: Result) -> dict:
    plain = result.as_json()
    return {name: list(v) if isinstance(v, tuple) else v for name, v in plain.items()} | {
        "curve": [{"in_dbfs": level, "out_dbfs": out} for level, out in result.curve],
        "hum": [{"hertz": hertz, "dbfs": level} for hertz, level in result.hum],
    }


def _each_full(found: Iterable[dict], moment) -> Iterator[Measured]:
    for data in found:
        yield Measured(
            **_said(data, moment),
            test_file=data["test_file"],
            fed_dbu=data["fed_dbu"],
            pad_db=data["pad_db"],
            cable_taken_off=data["cable_taken_off"],
            result=_result_of(data["result"]),
        )


def _each_of_tones(found: Iterable[dict], moment) -> Iterator[Measured]:
    for data in found:
        yield Measured(**_said(data, moment), tones=tuple(map(Tone.from_json, data["read"])))


def _said(data: dict, moment) -> dict:
    return {
        "through": data["through_stage"],
        "measured_by": data["measured_by"],
        "measured_at": moment(data["measured_at"]),
        "changed_since": data["changed_since"],
        "note": data["note"],
    }


def _result_of(data: dict) -> Result:
    """By the names of ours: what a later version says besides is passed over."""
    known = {name: data[name] for name in Result.__dataclass_fields__}
    pairs = {
        "curve": [(step["in_dbfs"], step["out_dbfs"]) for step in data["curve"]],
        "hum": [(line["hertz"], line["dbfs"]) for line in data["hum"]],
    }
    return Result.from_json(known | pairs)
