"""Attack and release, from the envelope of a sine that jumps up and down.

What a control calls an attack of 5 ms differs from maker to maker: the time constant of a detector or of a
gain, on the envelope or on its logarithm. So what is measured is what can be seen from outside,
whatever is inside: how long the gain in dB takes for 1 - 1/e (63 %) of its way. Where the gain
in dB is smoothed (Giannoulis, Massberg and Reiss, JAES 60(6), 2012) this is its time constant; where the
envelope is, attacks come out shorter than that and releases longer, the more so the further above
the threshold the burst lies.
"""

import math

import numpy as np

from gear.audio.proving.plan import BURST_S, REST_DB, Plan, Section
from gear.audio.proving.result import Timing

#: Of a way shorter than this, times can't be told.
LEAST_WAY_DB = 2.0
#: 1 - 1/e.
SHARE = 1 - math.exp(-1)
#: A gain that has come so far by the end of a burst or a pause is near enough to tell where it goes.
_SETTLED = 0.9
_STEPS_A_PERIOD = 8
#: Time that the lines of the sine's own filters get to ring out after a burst, in periods.
_RING_PERIODS = 4


def timings(plan: Plan, section: Section, samples: np.ndarray, rate_hz: float) -> Timing:
    """The times at the section's frequency, each None where it can't be told: under LEAST_WAY_DB of
    reduction, an attack faster than half a period of the sine, a release that isn't over by the next burst.

    samples: those of the bursts, one channel that begins at its start (a few ms off do no harm), full
    scale 1.
    """
    sine = _Sine(samples, rate_hz, section.hertz)
    onsets = _onsets(plan, sine, section)
    if onsets is None:
        return Timing(section.hertz, None, None)
    rise = plan.ceiling_dbfs + section.level_db - (plan.ceiling_dbfs + REST_DB)
    return Timing(
        section.hertz, _attack_ms(plan, sine, onsets, rise), _release_ms(plan, sine, onsets, rise)
    )


class _Sine:
    """Amplitudes of a sine of known frequency in stretches of any length, by least squares of its sine
    and cosine: exact however the stretch lies to samples and periods."""

    def __init__(self, samples: np.ndarray, rate_hz: float, hertz: float):
        self.samples, self.rate_hz, self.period_s = samples, rate_hz, 1 / hertz
        angle = 2 * np.pi * hertz / rate_hz * np.arange(samples.size)
        cosine, sine = np.cos(angle), np.sin(angle)
        self._sums = [
            np.concatenate([[0.0], np.cumsum(each)])
            for each in (samples * cosine, samples * sine, cosine**2, sine**2, cosine * sine)
        ]

    def decibels(self, middles: np.ndarray, length: float) -> np.ndarray:
        """In dBFS around these times in s, over length s."""
        ends = (np.stack([middles - length / 2, middles + length / 2])) * self.rate_hz + 0.5
        places = np.arange(self.samples.size + 1)
        c, s, cc, ss, cs = (
            np.diff(np.interp(ends, places, each), axis=0)[0] for each in self._sums
        )
        apart = cc * ss - cs**2
        real, imaginary = (c * ss - s * cs) / apart, (s * cc - c * cs) / apart
        return 20 * np.log10(np.maximum(np.hypot(real, imaginary), 1e-12))


def _onsets(plan: Plan, sine: _Sine, section: Section) -> np.ndarray | None:
    """When each burst begins in the recording: where the first rises out of the carrier, and the others by
    the plan. The carrier jumps a hundredfold, so that the place is right to microseconds."""
    loud = np.abs(sine.samples)
    first = round(0.1 * sine.rate_hz), round((BURST_S - 0.05) * sine.rate_hz)
    rest = np.percentile(loud[slice(*first)], 99)
    burst = np.percentile(loud[first[1] : round((2 * BURST_S) * sine.rate_hz)], 95)
    above = np.flatnonzero(loud[first[1] :] > math.sqrt(rest * burst))
    if not above.size or burst < 4 * rest:
        return None
    start = (first[1] + above[0]) / sine.rate_hz
    return start + np.arange(plan.burst_count) * (BURST_S + plan.pause_s)


def _attack_ms(plan: Plan, sine: _Sine, onsets: np.ndarray, rise: float) -> float | None:
    step, half = sine.period_s / _STEPS_A_PERIOD, sine.period_s / 2
    since = np.arange(half / 2, BURST_S - 0.01, step)
    gain = _mean(sine, onsets, since, half) - rise
    before = _mean(sine, onsets, np.array([-0.02]), 0.03)[0]
    end = _mean(sine, onsets, np.array([BURST_S - 0.06]), 0.1)[0] - rise
    return _crossed_ms(since, gain, before, end)


def _release_ms(plan: Plan, sine: _Sine, onsets: np.ndarray, rise: float) -> float | None:
    start = _mean(sine, onsets, np.array([BURST_S - 0.06]), 0.1)[0] - rise
    width, found = _RING_PERIODS * 2 * sine.period_s, None
    for _ in range(2):  # the second time smoothed by what the first found
        since = np.arange(width, plan.pause_s - 0.01, width / 8)
        gain = _mean(sine, onsets + BURST_S, since, width)
        end = _mean(sine, onsets + BURST_S, np.array([plan.pause_s - 0.06]), 0.1)[0]
        found = _crossed_ms(since, gain, start, end)
        if found is None:
            return None
        whole = max(1, round(found / 1000 / 4 / sine.period_s))
        width = min(max(whole * sine.period_s, width), 0.05)
    return found


def _mean(sine: _Sine, onsets: np.ndarray, since: np.ndarray, length: float) -> np.ndarray:
    """Of all bursts, in dB."""
    return np.mean([sine.decibels(onset + since, length) for onset in onsets], axis=0)


def _crossed_ms(since: np.ndarray, gain: np.ndarray, start: float, end: float) -> float | None:
    """When the gain has gone its share of the way, for the first time."""
    way = end - start
    if abs(way) < LEAST_WAY_DB:
        return None
    share = (gain - start) / way
    beyond = np.flatnonzero(share >= SHARE)
    if not beyond.size or beyond[0] == 0:
        return None
    after = beyond[0]
    left, right = share[after - 1], share[after]
    at = since[after - 1] + (SHARE - left) / (right - left) * (since[after] - since[after - 1])
    return float(1000 * at)
