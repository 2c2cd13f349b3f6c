"""The static curve, read from the staircase, and the compressor that it is the curve of."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from gear.audio.proving.plan import STAIR_S, STAIRS_DB, TONE_HZ, Plan
from gear.audio.proving.result import Compression, Harmonics
from gear.audio.proving.steady import Steady, tone

Curve = tuple[tuple[float, float], ...]

#: The part of each stair that is read: after the compressor has settled, before the next.
READ_S = (0.25, 0.49)
#: The middles of what is read to see whether a slow attack is still on its way, each so long; and what has to change
#: from each to the next for that, and by which share of the change before at most.
_PARTS_S, _PART_S, _MOVES_DB, _MOST_LEFT = (0.29, 0.37, 0.45), 0.08, 0.015, 0.7
#: How many stairs on either side tell of the noise, and how many times as much is noise of a stair's own.
_NEAR, _OTHERWISE = 2, 2.0
#: Less than this isn't taken for compression.
LEAST_REDUCTION_DB = 0.3
LEAST_ABOVE_KNEE_DB = 3.0
#: A gain that rises by so much somewhere, against the lowest stairs, is distortion's as well, which makes the knee look
#: narrower and lower than it is: so much more is needed above it.
RISES_DB, _LOWEST, LEAST_ABOVE_DISTORTED_DB = 0.15, 5, 6.0
#: Of the straight part below the knee, so that the gain is told from the compression.
LEAST_BELOW_KNEE_DB = 2.0
#: What departs further from a compressor's curve, as the root of a mean square, isn't one.
FAR_DB = 0.15
#: A hard knee that fits as well as a soft one, but for this, is taken to be one: steps of 2 dB show none
#: that is narrower.
SAME_DB = 0.003
WIDEST_KNEE_DB = 30.0
#: More than that is a limiter, and so called.
HIGHEST_RATIO = 100.0
#: In steps of the last grid, whose own is a fifth of it.
_CLOSER, _ROUNDS = np.linspace(-2, 2, 21), 8


def static_curve(
    plan: Plan, samples: np.ndarray, rate_hz: float
) -> tuple[Curve, tuple[Harmonics, ...]]:
    """Pairs of level in and out, lowest first, and the harmonics at each level.

    Levels out are those of the fundamental. samples: those of the staircase, one channel that begins
    at its start, full scale 1.
    """
    pairs, harmonics, sines = [], [], []
    for number in range(len(STAIRS_DB)):
        first, last = (round((number * STAIR_S + at) * rate_hz) for at in READ_S)
        sines.append(tone(samples[first:last], rate_hz, TONE_HZ))
    for number, sine in enumerate(_noise_of_neighbours(sines)):
        into = plan.ceiling_dbfs + STAIRS_DB[number]
        stair = samples[round(number * STAIR_S * rate_hz) :]
        pairs.append((into, sine.dbfs + _still_to_go_db(stair, rate_hz, sine.dbfs)))
        harmonics.append(
            Harmonics(into, sine.harmonic_db(2), sine.harmonic_db(3), sine.harmonics_db)
        )
    return tuple(pairs), tuple(harmonics)


def _still_to_go_db(stair: np.ndarray, rate_hz: float, read_dbfs: float) -> float:
    """From what was read of a stair to where its level comes to rest, by the geometric series that a slow attack
    goes on in (Aitken, Proc. R. Soc. Edinburgh 46, 1926); 0 where it rests, as nearly always."""
    begins = (at - _PART_S / 2 for at in _PARTS_S)
    parts = (stair[round(at * rate_hz) : round((at + _PART_S) * rate_hz)] for at in begins)
    early, middle, late = (tone(part, rate_hz, TONE_HZ).dbfs for part in parts)
    first, second = middle - early, late - middle
    if min(abs(first), abs(second)) < _MOVES_DB or not 0 < second / first < _MOST_LEFT:
        return 0.0
    return late + second**2 / (first - second) - read_dbfs


def _noise_of_neighbours(sines: list[Steady]) -> Iterator[Steady]:
    """Noise is nearly the same from stair to stair, so that those around tell it better than one alone, unless
    something else sounds in that one."""
    noises = np.array([sine.noises for sine in sines])
    for at, sine in enumerate(sines):
        around = np.median(noises[max(0, at - _NEAR) : at + _NEAR + 1], axis=0)
        own = sine.noises
        yield replace(sine, noises=np.where(own > _OTHERWISE * around, own, around))


def compression(curve: Curve) -> tuple[Compression | None, str | None]:
    """Threshold, ratio and knee of the curve (Giannoulis, Massberg and Reiss, JAES 60(6), 2012) that
    comes nearest by least squares, or None and why they can't be told.

    The threshold is the level in of a sine at which its curve breaks, as a sine's peak: where the
    detector is one of RMS, or reads below the peak, that is contained in it.
    """
    into, out = np.array(curve).T
    if not np.isfinite(out).all():
        return None, "Some steps of the curve are silent."
    if np.ptp(out - into) < LEAST_REDUCTION_DB:
        return None, "Nothing compresses up to the file’s loudest level."
    hard, soft = (_nearest(into, out, widest) for widest in (0.0, WIDEST_KNEE_DB))
    fit = hard if hard.far_db < soft.far_db + SAME_DB else soft
    if fit.far_db > FAR_DB:
        return None, "The curve bends in another way than that of a threshold, a ratio and a knee."
    below = fit.threshold - fit.knee / 2 - into[0]
    above = into[-1] - fit.threshold - fit.knee / 2
    if below < LEAST_BELOW_KNEE_DB:
        return None, "It compresses at the file’s lowest level already."
    gains = out - into
    rises = gains.max() - np.median(gains[:_LOWEST]) > RISES_DB
    needed = LEAST_ABOVE_DISTORTED_DB if rises else LEAST_ABOVE_KNEE_DB
    if above < needed:
        return None, (
            f"About {max(above, 0):.0f} dB of the curve lie above the knee: {needed:.0f} dB or more are needed to "
            f"tell threshold and ratio{', since it distorts, too' if rises else ''}."
        )
    ratio = min(1 / max(1 - fit.slope, 1e-9), HIGHEST_RATIO)
    return Compression(fit.threshold, ratio, fit.knee), None


class _Fit(NamedTuple):
    """far_db: what is left over, as the root of its mean square."""

    far_db: float
    threshold: float
    knee: float
    slope: float  # 1 - 1/ratio


def _nearest(into: np.ndarray, out: np.ndarray, widest: float) -> _Fit:
    """Gain and slope follow by plain least squares from threshold and knee, which are looked for on a
    grid that is drawn closer around the best."""
    thresholds = np.linspace(into[0], into[-1], 81)
    knees = np.linspace(0, widest, 61 if widest else 1)
    t_step, k_step = thresholds[1] - thresholds[0], widest / 60
    gains = out - into
    for _ in range(_ROUNDS):
        t, k = (each.ravel() for each in np.meshgrid(thresholds, knees))
        bent = _bent(into, t[:, None], k[:, None])
        apart = bent - bent.mean(axis=1, keepdims=True)
        size = (apart**2).sum(axis=1)
        slope = np.where(size > 0, -(apart @ gains) / np.where(size > 0, size, 1), 0).clip(0, 1)
        left = gains - gains.mean() + slope[:, None] * apart
        far = np.sqrt((left**2).mean(axis=1))
        at = int(np.argmin(far))
        best = _Fit(float(far[at]), float(t[at]), float(k[at]), float(slope[at]))
        thresholds = best.threshold + t_step * _CLOSER
        knees = np.unique((best.knee + k_step * _CLOSER).clip(0))
        t_step, k_step = t_step / 5, k_step / 5
    return best


def _bent(into: np.ndarray, threshold: np.ndarray | float, knee: np.ndarray | float) -> np.ndarray:
    """How far a level lies above the threshold, round the knee: the reduction at a slope of 1."""
    over = into - threshold
    inside = (over + knee / 2).clip(0) ** 2 / np.where(np.equal(knee, 0), 1, 2 * knee)
    return np.where(2 * np.abs(over) < knee, inside, over.clip(0))
