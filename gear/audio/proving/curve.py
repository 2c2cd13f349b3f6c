"""The static curve, read from the staircase, and the compressor that it is the curve of."""

import numpy as np

from gear.audio.proving.plan import STAIR_S, STAIRS_DB, TONE_HZ, Plan
from gear.audio.proving.result import Compression, Harmonics
from gear.audio.proving.steady import tone

Curve = tuple[tuple[float, float], ...]

#: The part of each stair that is read: after the compressor has settled, before the next.
READ_S = (0.25, 0.49)
#: Less than this isn't taken for compression.
LEAST_REDUCTION_DB = 0.3
LEAST_ABOVE_KNEE_DB = 3.0
#: Of the straight part below the knee, so that the gain is told from the compression.
LEAST_BELOW_KNEE_DB = 2.0
#: What departs further from a compressor's curve, in dB as a mean square, isn't one.
FAR_DB = 0.15
#: More than that is a limiter, and so called.
HIGHEST_RATIO = 100.0


def static_curve(
    plan: Plan, samples: np.ndarray, rate_hz: float
) -> tuple[Curve, tuple[Harmonics, ...]]:
    """Pairs of level in and out, lowest first, and the harmonics at each level.

    Levels out are those of the fundamental. samples: those of the staircase, one channel that begins
    at its start, full scale 1.
    """
    pairs, harmonics = [], []
    for number, level in enumerate(STAIRS_DB):
        first, last = (round((number * STAIR_S + at) * rate_hz) for at in READ_S)
        sine = tone(samples[first:last], rate_hz, TONE_HZ)
        into = plan.ceiling_dbfs + level
        pairs.append((into, sine.dbfs))
        harmonics.append(
            Harmonics(into, sine.harmonic_db(2), sine.harmonic_db(3), sine.harmonics_db)
        )
    return tuple(pairs), tuple(harmonics)


def compression(curve: Curve) -> tuple[Compression | None, str | None]:
    """Threshold, ratio and knee of the curve (Giannoulis, Massberg and Reiss, JAES 60(6), 2012) that
    comes nearest by least squares, or None and why they can't be told.

    The threshold is the level in of a sine at which its curve breaks, as a sine's peak: where the
    detector is one of RMS, or reads below the peak, that is contained in it.
    """
    into, out = np.array(curve).T
    if np.ptp(out - into) < LEAST_REDUCTION_DB:
        return None, "Nothing compresses up to the file’s loudest level."
    threshold, knee, gain, slope = _nearest(into, out)
    left = out - gain - into + slope * _bent(into, threshold, knee)
    if np.sqrt(np.mean(left**2)) > FAR_DB:
        return None, "The curve bends in another way than that of a threshold, a ratio and a knee."
    below, above = threshold - knee / 2 - into[0], into[-1] - threshold - knee / 2
    if below < LEAST_BELOW_KNEE_DB:
        return None, "It compresses at the file’s lowest level already."
    if above < LEAST_ABOVE_KNEE_DB:
        return None, (
            f"About {max(above, 0):.0f} dB of the curve lie above the knee: "
            f"{LEAST_ABOVE_KNEE_DB:.0f} dB or more are needed to tell threshold and ratio."
        )
    ratio = min(1 / max(1 - slope, 1e-9), HIGHEST_RATIO)
    return Compression(float(threshold), float(ratio), float(knee)), None


def _nearest(into: np.ndarray, out: np.ndarray) -> tuple[float, float, float, float]:
    """Threshold, knee, gain and slope (1 - 1/ratio): the last two follow by plain least squares from
    the first two, which are looked for on a grid that is drawn closer around the best."""
    thresholds, knees = np.linspace(into[0], into[-1], 81), np.linspace(0, 30, 61)
    best = (0.0, 0.0, 0.0, 0.0)
    for _ in range(8):
        t, k = (each.ravel() for each in np.meshgrid(thresholds, knees))
        bent = _bent(into, t[:, None], k[:, None])
        rest = out - into
        apart = bent - bent.mean(axis=1, keepdims=True)
        size = (apart**2).sum(axis=1)
        slope = np.where(size > 0, -(apart @ rest) / np.where(size > 0, size, 1), 0).clip(0, 1)
        gain = rest.mean() + slope * bent.mean(axis=1)
        left = rest - gain[:, None] + slope[:, None] * bent
        at = int(np.argmin((left**2).sum(axis=1)))
        best = float(t[at]), float(k[at]), float(gain[at]), float(slope[at])
        t_step, k_step = thresholds[1] - thresholds[0], knees[1] - knees[0]
        thresholds = np.linspace(best[0] - 2 * t_step, best[0] + 2 * t_step, 21)
        knees = np.linspace(max(best[1] - 2 * k_step, 0), best[1] + 2 * k_step, 21)
    return best


def _bent(into: np.ndarray, threshold: np.ndarray | float, knee: np.ndarray | float) -> np.ndarray:
    """How far a level lies above the threshold, round the knee: the reduction at a slope of 1."""
    over = into - threshold
    inside = (over + knee / 2).clip(0) ** 2 / np.where(np.equal(knee, 0), 1, 2 * knee)
    return np.where(2 * np.abs(over) < knee, inside, over.clip(0))
