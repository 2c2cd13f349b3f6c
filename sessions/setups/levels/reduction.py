"""Gain reduction: what was read, what was planned, and what the curve would take off."""

from dataclasses import dataclass

from gear.audio.levels import gain_reduction_verdict
from gear.audio.verdict import Verdict
from gear.panels.models import Control, Meaning
from sessions.setups.controls.compressor import compressor_of, threshold_of
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.models import Stage


@dataclass(frozen=True)
class Reduction:
    """A stage's gain reduction in dB, none of it negative.

    read_db is what its meter read, None if nobody logged it; expected_db what its curve takes off
    the level that arrives, None where that can't be computed.
    """

    control: Control
    read_db: float | None
    expected_db: float | None
    planned: tuple[float, float] | None
    is_out: bool

    @property
    def is_unknown(self) -> bool:
        return self.read_db is None and not self.is_out

    @property
    def taken_off_db(self) -> float:
        return 0.0 if self.is_out else self.read_db or 0.0

    @property
    def verdict(self) -> Verdict | None:
        """The reading against what was planned; None without either."""
        if self.read_db is None or self.planned is None or self.is_out:
            return None
        return gain_reduction_verdict(self.read_db, self.planned)


def reduction_of(stage: Stage, arriving_dbu: float | None = None) -> Reduction | None:
    """What a stage's gain-reduction meter read; None when its panel has none."""
    controls = StageControls.at(stage)
    meter = next(iter(controls.of(Meaning.GAIN_REDUCTION)), None)
    if meter is None:
        return None
    read = controls.setting(meter)
    return Reduction(
        control=meter,
        read_db=None if read is None else abs(read),
        expected_db=_expected(controls, arriving_dbu),
        planned=planned_band(stage),
        is_out=controls.engaged("compressor", meter.group) is False,
    )


def planned_band(stage: Stage) -> tuple[float, float] | None:
    """The gain reduction that was planned, in dB; one end alone goes from 0 or stands for both."""
    low, high = stage.planned_reduction_low_db, stage.planned_reduction_high_db
    if low is None and high is None:
        return None
    return float(low or 0), float(low if high is None else high)


def _expected(controls: StageControls, arriving_dbu: float | None) -> float | None:
    """By the static curve, for a steady level; only a threshold in dBu can be compared with it."""
    threshold = threshold_of(controls)
    if arriving_dbu is None or threshold is None or threshold.unit != "dBu":
        return None
    compressor = compressor_of(controls, [])
    return compressor.reduction_db(arriving_dbu) if compressor else None
