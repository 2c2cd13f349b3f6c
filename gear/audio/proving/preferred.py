"""Preferred frequencies, by which third octaves are named: ISO 266, IEC 61260-1 (base ten)."""

import math

_STEPS = (1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8)

#: From 20 Hz to 20 kHz.
THIRD_OCTAVES_HZ = tuple(round(_STEPS[n % 10] * 10 ** (n // 10), 1) for n in range(13, 44))


def exact_hz(nominal_hz: float) -> float:
    """The frequency that a third octave's name stands for: 1000 * 10^(n/10), so that 1250 is 1258.9."""
    return 1000 * 10 ** (round(10 * math.log10(nominal_hz / 1000)) / 10)


def nominal_hz(hertz: float) -> float:
    """The name of the third octave whose middle is nearest by ear; hertz is above 0."""
    number = round(10 * math.log10(hertz))
    return round(_STEPS[number % 10] * 10.0 ** (number // 10), 6)
