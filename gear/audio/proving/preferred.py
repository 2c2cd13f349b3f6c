"""Preferred frequencies, by which third octaves are named: ISO 266, IEC 61260-1.

Each name stands for 1000 * 10^(n/10) Hz, so that 1250 is 1258.9.
"""

_STEPS = (1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8)

#: From 20 Hz to 20 kHz.
THIRD_OCTAVES_HZ = tuple(float(_STEPS[n % 10] * 10 ** (n // 10)) for n in range(13, 44))
