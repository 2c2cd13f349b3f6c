"""Levels along a signal chain: from sound pressure to dBu, and through each stage.

Voltages are RMS. Sound pressure levels are dB SPL; 94 dB SPL counts as 1 Pa, the
convention of microphone data sheets (exactly 93.979, a difference of 0.02 dB).
"""

import math
from dataclasses import dataclass

from gear.audio.verdict import Verdict

#: 0 dBu is the voltage of 1 mW in 600 ohms: sqrt(0.6) V, 0.7746 V.
VOLTS_AT_0_DBU = math.sqrt(0.6)
#: dB SPL that count as 1 Pa.
SPL_AT_1_PA = 94.0
DBU_AT_0_DBV = -20 * math.log10(VOLTS_AT_0_DBU)

#: Joules a kelvin (SI, 2019).
BOLTZMANN = 1.380649e-23


def dbu_from_volts(volts: float) -> float:
    """Level in dBu of a voltage; ValueError when it is not above zero."""
    if volts <= 0:
        raise ValueError("A level in dBu needs a voltage above zero.")
    return 20 * math.log10(volts / VOLTS_AT_0_DBU)


def volts_from_dbu(dbu: float) -> float:
    """Voltage of a level in dBu."""
    return float(VOLTS_AT_0_DBU * 10 ** (dbu / 20))


def dbu_from_dbv(dbv: float) -> float:
    """The same level re 0.7746 V."""
    return dbv + DBU_AT_0_DBV


def microphone_dbu(sensitivity_mv_per_pa: float, spl_db: float) -> float:
    """A microphone's open-circuit output in dBu, at a sound pressure level.

    Raises ValueError when the sensitivity is not above zero.
    """
    if sensitivity_mv_per_pa <= 0:
        raise ValueError("A microphone’s sensitivity is above zero mV/Pa.")
    return dbu_from_volts(sensitivity_mv_per_pa / 1000) + spl_db - SPL_AT_1_PA


def distance_db(from_cm: float, to_cm: float) -> float:
    """How much louder (above 0) or softer a sound is at another distance from a small source.

    6.02 dB for each doubling: sound spreads evenly, with no room in it. Raises ValueError for a
    distance that is not above zero.
    """
    if from_cm <= 0 or to_cm <= 0:
        raise ValueError("A distance is above zero.")
    return 20 * math.log10(from_cm / to_cm)


def dbfs_from_dbu(dbu: float, full_scale_dbu: float) -> float:
    """What a converter shows for a sine, given the dBu at which it reaches full scale."""
    return dbu - full_scale_dbu


def dbu_from_dbfs(dbfs: float, full_scale_dbu: float) -> float:
    """The analogue level behind a converter's reading of a sine."""
    return dbfs + full_scale_dbu


def thermal_noise_dbu(
    source_ohm: float, *, bandwidth_hz: float = 20_000.0, temperature_c: float = 20.0
) -> float:
    """The noise that a resistance makes by its warmth alone: sqrt(4 k T R B), in dBu.

    Raises ValueError for a resistance or bandwidth that is not above zero.
    """
    if source_ohm <= 0 or bandwidth_hz <= 0:
        raise ValueError("A resistance and a bandwidth are above zero.")
    kelvin = temperature_c + 273.15
    return dbu_from_volts(math.sqrt(4 * BOLTZMANN * kelvin * source_ohm * bandwidth_hz))


@dataclass(frozen=True)
class StageGains:
    """What one stage of a chain does to the level, in dB, and its limits, in dBu.

    pad_db and gain_reduction_db are written as on a panel or a meter: 20 dB of pad or
    3 dB of reduction, taken off whichever sign they carry. The pad sits before the input,
    so it protects it. None as a limit means unknown.
    """

    gain_db: float = 0.0
    pad_db: float = 0.0
    gain_reduction_db: float = 0.0
    make_up_db: float = 0.0
    max_input_dbu: float | None = None
    max_output_dbu: float | None = None


@dataclass(frozen=True)
class StageLevel:
    """A stage's levels in dBu and the room left below its limits, in dB (None: unknown).

    in_dbu is what arrives at the connector. Input headroom is counted after the pad.
    """

    in_dbu: float
    out_dbu: float
    input_headroom_db: float | None
    output_headroom_db: float | None

    @property
    def headroom_db(self) -> float | None:
        """The smaller of the two known headrooms."""
        known = [h for h in (self.input_headroom_db, self.output_headroom_db) if h is not None]
        return min(known, default=None)


def stage_level(in_dbu: float, gains: StageGains) -> StageLevel:
    """The level at one stage that is fed with so many dBu.

    A clipped stage is not limited here: the sum goes on as if it had room.
    """
    padded = in_dbu - abs(gains.pad_db)
    out = padded + gains.gain_db - abs(gains.gain_reduction_db) + gains.make_up_db
    return StageLevel(
        in_dbu=in_dbu,
        out_dbu=out,
        input_headroom_db=_room(gains.max_input_dbu, padded),
        output_headroom_db=_room(gains.max_output_dbu, out),
    )


def _room(limit_dbu: float | None, level_dbu: float) -> float | None:
    return None if limit_dbu is None else limit_dbu - level_dbu


def gain_reduction_verdict(reduction_db: float, planned: tuple[float, float]) -> Verdict:
    """What a gain-reduction reading means against the planned band (its sign is ignored)."""
    low, high = planned
    read, plan = (
        f"{abs(reduction_db):g} dB of gain reduction is",
        f"the {low:g} to {high:g} dB planned",
    )
    if abs(reduction_db) > high:
        advice = "Back off: raise the threshold or lower the ratio."
        return Verdict("caution", f"{read} more than {plan}. {advice}", "the plan")
    if abs(reduction_db) < low:
        return Verdict("note", f"{read} less than {plan}.", "the plan")
    return Verdict("ok", f"{read} as planned.", "the plan")


#: What no preamplifier fed from a usual microphone can go below.
THERMAL_NOISE_150_OHM_DBU = thermal_noise_dbu(150)
