"""How far a sound lies above the noise of the microphone and of the preamplifier after it."""

import math
from dataclasses import dataclass

from gear.audio.levels import dbu_from_volts, microphone_dbu, volts_from_dbu


@dataclass(frozen=True)
class Noise:
    """Noise at the preamplifier's input, in dBu; None where a fact is missing.

    A microphone's figure is A-weighted, a preamplifier's usually is not: their sum is right to a
    decibel or two.
    """

    microphone_dbu: float | None
    input_dbu: float | None
    signal_dbu: float | None

    @property
    def total_dbu(self) -> float | None:
        """Both together, as powers add; None when neither is known."""
        known = [dbu for dbu in (self.microphone_dbu, self.input_dbu) if dbu is not None]
        if not known:
            return None
        return dbu_from_volts(math.hypot(*(volts_from_dbu(dbu) for dbu in known)))

    @property
    def signal_to_noise_db(self) -> float | None:
        if self.total_dbu is None or self.signal_dbu is None:
            return None
        return self.signal_dbu - self.total_dbu

    @property
    def sentence(self) -> str:
        """Which of the two is heard, or what is missing to say so."""
        if self.microphone_dbu is None and self.input_dbu is None:
            return (
                "Neither the microphone’s self-noise nor the preamplifier’s equivalent input noise "
                "is given."
            )
        if self.microphone_dbu is None:
            return "The microphone’s self-noise is not given; the preamplifier’s noise counts."
        if self.input_dbu is None:
            return "The preamplifier’s equivalent input noise is not given."
        apart = self.microphone_dbu - self.input_dbu
        if abs(apart) < 3:
            return "Microphone and preamplifier are about equally noisy."
        louder, quieter = ("microphone", "preamplifier")[:: 1 if apart > 0 else -1]
        return f"The {louder} is noisier than the {quieter}, by {abs(apart):.0f} dB."


def noise_at_input(
    *,
    sensitivity_mv_per_pa: float | None,
    self_noise_dba: float | None,
    input_noise_dbu: float | None,
    spl_db: float | None,
) -> Noise:
    """The two noises at the preamplifier's input, and the sound's level there.

    A self-noise in dB(A) is the sound level that would give the microphone's own noise.
    """

    def as_voltage(spl: float | None) -> float | None:
        if spl is None or sensitivity_mv_per_pa is None:
            return None
        return microphone_dbu(sensitivity_mv_per_pa, spl)

    return Noise(as_voltage(self_noise_dba), input_noise_dbu, as_voltage(spl_db))
