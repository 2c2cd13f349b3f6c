"""What was measured of a chain's sound, as sheets, files and rebuilds tell it: ours, or of another studio."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property

from gear.audio.proving.in_dbu import in_dbu
from gear.audio.proving.result import Result
from gear.audio.proving.three_tones.tone import Tone

#: Of decibels, hertz and samples: below all that a measurement can tell. A sheet is drawn from the same
#: figures as its data hold, so that whoever imports it sees the same.
DECIMALS = 4


@dataclass(frozen=True, kw_only=True)
class Measured:
    """A measurement of a chain, from where the signal was fed in.

    through: the position of the last unit measured through, None where it is all, up to the converter.
    A full one has result and test_file, what its plan was as JSON, perhaps of another layout than
    ours; fed_dbu is that file's ceiling at the injection point, behind a pad of pad_db. Tones have none
    of these.
    changed_since: a unit was set otherwise after it.
    """

    measured_by: str
    measured_at: datetime | None
    through: int | None = None
    test_file: dict | None = None
    result: Result | None = None
    fed_dbu: float | None = None
    pad_db: float = 0.0
    cable_taken_off: bool = False
    tones: tuple[Tone, ...] = ()
    changed_since: bool = False
    note: str = ""

    @property
    def is_full(self) -> bool:
        return self.result is not None

    @cached_property
    def in_dbu(self) -> Result:
        """Of a full one: levels in at the injection point and levels out at the converter, in dBu."""
        sent = self.fed_dbu - self.test_file["ceiling_dbfs"]
        return in_dbu(self.result, sent_full_scale_dbu=sent, read_full_scale_dbu=sent + self.pad_db)


def measured_of_revision(
    revision, digest_through: Callable[[int | None], str]
) -> tuple[Measured, ...]:
    """What stands of it: of several measurements of the same, the newest. No query if it is loaded with
    `measurements__measured_by`. digest_through: of its settings today, up to that unit."""
    standing = (each for each in revision.measurements.all() if each.is_done and not each.is_undone)
    newest_first = sorted(standing, key=lambda each: each.measured_at, reverse=True)
    return newest_of_each(
        replace(as_measured(each), changed_since=_is_changed(each, digest_through))
        for each in newest_first
    )


def _is_changed(measurement, digest_through: Callable[[int | None], str]) -> bool:
    then = measurement.settings_digest
    return bool(then) and then != digest_through(measurement.up_to)


def newest_of_each(measured: Iterable[Measured]) -> tuple[Measured, ...]:
    """Of several of the same the first, in the order of a sheet: the full ones before the tones, the
    whole chain before a part of it."""
    found: dict[tuple, Measured] = {}
    for each in measured:
        found.setdefault((not each.is_full, each.through is not None, each.through or 0), each)
    return tuple(found[key] for key in sorted(found))


def as_measured(measurement) -> Measured:
    facts = {
        "measured_by": f"{measurement.measured_by}",
        "measured_at": measurement.measured_at,
        "through": measurement.up_to,
        "note": measurement.note,
    }
    if measurement.result is None:
        return Measured(**facts, tones=tuple(map(Tone.from_json, _rounded(measurement.tones))))
    return Measured(
        **facts,
        test_file=measurement.plan,
        result=Result.from_json(_rounded(measurement.result)),
        fed_dbu=float(measurement.fed_dbu),
        pad_db=float(measurement.pad_db),
        cable_taken_off=measurement.cable_id is not None,
    )


def _rounded(value):
    if isinstance(value, float):
        return round(value, DECIMALS)
    if isinstance(value, dict):
        return {name: _rounded(each) for name, each in value.items()}
    return [_rounded(each) for each in value] if isinstance(value, list) else value
