"""Attack and release, from the envelope of a sine that jumps up and down.

What a control calls an attack of 5 ms differs from maker to maker: the time constant of a detector or of a
gain, on the envelope or on its logarithm. So what is measured is what can be seen from outside,
whatever is inside: how long the gain in dB takes for 1 - 1/e (63 %) of its way. Where the gain
in dB is smoothed (Giannoulis, Massberg and Reiss, JAES 60(6), 2012) this is its time constant; where the
envelope is, attacks come out shorter than that and releases longer, the more so the further above
the threshold the burst lies.

It is the gain of the whole chain: what distorts where a burst is loudest adds to the way or takes from it. A
cube that makes a third harmonic of h moves the gain by 3 h (sin³ is (3 sin - sin 3)/4); from a few per cent of the
way on nothing is told. What filters narrowly at a burst's very frequency lengthens its times by a tenth or two; two
frequencies lie far enough apart for only one of them to suffer.
"""

import math
from collections.abc import Sequence

import numpy as np

from gear.audio.proving.plan import BURST_S, REST_DB, REST_RELEASES, TAIL_S, Plan, Section
from gear.audio.proving.result import Fault, Timing
from gear.audio.proving.steady import tone

#: Of a way shorter than this, times can't be told.
LEAST_WAY_DB = 2.5
#: 1 - 1/e.
SHARE = 1 - math.exp(-1)
#: A release so many times as long as the file was made for leaves reduction behind in what comes next.
_TOO_LONG = 1.3
#: A faster attack is over before a sine has shown it, and a detector of peaks has hardly met one.
_FASTEST_PERIODS = 1.8
#: Filters may stand before the compressor, where their delay lengthens what it takes, or behind it, where
#: it doesn't: half of it is taken off, and nothing is told that could be so much off, as a share.
_DOUBTED = 0.1
#: By what share of the way distortion may move the gain: times are off by some four times as much.
_MOST_BENT = 0.03
#: Steps of the curve that the attack is read from.
_STEPS_A_PERIOD = 8
#: What is read after a burst is smoothed over so many periods or more, in which filters ring out.
_RING_PERIODS, _LONGEST_WIDTH_S = 8, 0.05
#: A gain that holds is read over this time; nothing is read nearer to the next jump than the margin.
_HELD_S, _MARGIN_S = 0.04, 0.01
#: A burst or pause shorter than so many times what is found doesn't show where the gain goes.
_TOO_LATE = 1.5
#: What is left to go at the end is carried on by an exponential, whose constant is that which has been
#: found or, where a gain sets out slowly, so much less.
_TAILS = (0.35, 0.5, 0.7, 1.0)

_LOG_IT = "Log it with the unit’s settings, and measure with a new file."


def timings(plan: Plan, section: Section, samples: np.ndarray, rate_hz: float) -> Timing:
    """The times at the section's frequency, each None where it can't be told: under LEAST_WAY_DB of
    reduction, much distortion in the bursts, an attack faster than two periods of the sine or so, a release that isn't over by the next burst.

    samples: those of the bursts, one channel that begins at its start (a few ms off do no harm), full
    scale 1.
    """
    sine = _Sine(samples, rate_hz, section.hertz)
    onsets = _onsets(plan, sine, section)
    if onsets is None:
        return Timing(section.hertz, None, None)
    rise = section.level_db - REST_DB
    if _is_bent(sine, onsets, rise, section.hertz):
        return Timing(section.hertz, None, None)
    attack, release = _attack_ms(sine, onsets, rise), _release_ms(plan, sine, onsets, rise)
    return Timing(section.hertz, attack, release)


def why_untold(plan: Plan, found: Sequence[Timing]) -> str | None:
    """Of a chain that compresses: why attack or release can't be told at any frequency."""
    attack = any(each.attack_ms is not None for each in found)
    release = any(each.release_ms is not None for each in found)
    if not attack and not release:
        return (
            f"Bursts are reduced by less than {LEAST_WAY_DB} dB, or at once, or they distort so much that it doesn’t "
            "show how they are reduced."
        )
    if not release:
        return (
            f"The gain isn’t back by the next burst: the release takes longer than the file allows for "
            f"({plan.release_s:g} s). {_LOG_IT}"
        )
    if not attack:
        return "The attack is faster than two periods of the burst’s sine."
    return None


def release_faults(plan: Plan, found: Sequence[Timing]) -> tuple[Fault, ...]:
    """A release that is told, but for which the file leaves too little time elsewhere."""
    longest = max((each.release_ms or 0 for each in found), default=0) / 1000
    # However short a release is said to be, the stairs begin TAIL_S after the sweeps.
    if longest <= _TOO_LONG * max(plan.release_s, TAIL_S / REST_RELEASES):
        return ()
    return (
        Fault(
            "long release",
            f"The release takes {longest:.1f} s, the file allows for {plan.release_s:g} s: the lowest steps "
            f"of the curve may read low. {_LOG_IT}",
        ),
    )


class _Sine:
    """Amplitudes of a sine of known frequency in stretches of any length, by least squares of its sine
    and cosine: exact however the stretch lies to samples and periods."""

    def __init__(self, samples: np.ndarray, rate_hz: float, hertz: float):
        self.samples, self.rate_hz, self.period_s = samples, rate_hz, 1 / hertz
        angle = 2 * np.pi * hertz / rate_hz * np.arange(samples.size)
        cosine, sine = np.cos(angle), np.sin(angle)
        pairs = [(samples, cosine), (samples, sine), (cosine, cosine), (sine, sine), (cosine, sine)]
        self._sums = np.zeros((len(pairs), samples.size + 1))
        for sums, (one, other) in zip(self._sums, pairs, strict=True):
            np.cumsum(one * other, out=sums[1:])

    def amplitudes(self, middles: np.ndarray, length: float) -> np.ndarray:
        """Around these times in s, over length s: complex, so that the angle is the phase."""
        c, s, cc, ss, cs = self._up_to(middles + length / 2) - self._up_to(middles - length / 2)
        return ((s * cc - c * cs) + 1j * (c * ss - s * cs)) / (cc * ss - cs**2)

    def decibels(self, middles: np.ndarray, length: float) -> np.ndarray:
        """The same in dBFS."""
        return 20 * np.log10(np.maximum(np.abs(self.amplitudes(middles, length)), 1e-12))

    def _up_to(self, seconds: np.ndarray) -> np.ndarray:
        """The sums to a time, a part of a sample counting in proportion. A sample lasts from half of
        its length before its time to half after."""
        place = (seconds * self.rate_hz + 0.5).clip(0, self.samples.size - 1e-6)
        whole = place.astype(int)
        before = self._sums[:, whole]
        return before + (place - whole) * (self._sums[:, whole + 1] - before)


def _onsets(plan: Plan, sine: _Sine, section: Section) -> np.ndarray | None:
    """When each burst begins in the recording: where the first rises out of the carrier, and the others by
    the plan. The carrier jumps a hundredfold, so that the place is right to microseconds."""
    loud = np.abs(sine.samples)
    first = round(0.1 * sine.rate_hz), round((BURST_S - 0.05) * sine.rate_hz)
    rest = np.percentile(loud[slice(*first)], 99)
    burst = np.percentile(loud[first[1] : round((2 * BURST_S) * sine.rate_hz)], 95)
    above = np.flatnonzero(loud[first[1] :] > math.sqrt(rest * burst))
    if not above.size or burst < 2 * rest:
        return None
    start = (first[1] + above[0]) / sine.rate_hz
    starts = start + np.arange(plan.burst_count) * (BURST_S + plan.pause_s)
    # The first comes soon after the stairs, from which the gain may not have come back.
    return starts[1:] if starts.size > 1 else starts


def _is_bent(sine: _Sine, onsets: np.ndarray, rise: float, hertz: float) -> bool:
    """Whether distortion moves the gain by much of what a burst's reduction is."""
    held_from = round((onsets[0] + BURST_S / 2) * sine.rate_hz)
    held = sine.samples[held_from : round((onsets[0] + BURST_S - _MARGIN_S) * sine.rate_hz)]
    third_db = tone(held, sine.rate_hz, hertz).harmonic_db(3)
    if third_db is None:
        return False
    at = np.array([-0.6 * _HELD_S])
    before = _mean(sine, onsets, at, _HELD_S)[0]
    way = before - _mean(sine, onsets + BURST_S, at, _HELD_S)[0] + rise
    return 20 * math.log10(1 + 3 * 10 ** (third_db / 20)) > _MOST_BENT * abs(way)


def _attack_ms(sine: _Sine, onsets: np.ndarray, rise: float) -> float | None:
    # A whole period at a time, in which what swings slowly after the jump cancels.
    since = np.arange(sine.period_s / 2, BURST_S - _MARGIN_S, sine.period_s / _STEPS_A_PERIOD)
    gain = _mean(sine, onsets, since, sine.period_s) - rise
    before = _mean(sine, onsets, np.array([-0.6 * _HELD_S]), _HELD_S)[0]
    found, doubt = _way_ms(since, gain, before), 1000 * _delay_s(sine, onsets) / 2
    if found is None or abs(doubt) > _DOUBTED * (found - doubt):
        return None
    return found - doubt if found - doubt > 1000 * _FASTEST_PERIODS * sine.period_s else None


def _delay_s(sine: _Sine, onsets: np.ndarray) -> float:
    """By how much filters delay the envelope of the sine (group delay; a dip hastens it): what goes on
    sounding after a burst, as the area under it."""
    length = _RING_PERIODS * sine.period_s
    held = sine.amplitudes(onsets + BURST_S - 0.6 * _HELD_S, _HELD_S)
    after = sine.amplitudes(onsets + BURST_S + length / 2, length)
    return length * (float(np.mean((after / held).real)) - 10 ** (REST_DB / 20))


def _release_ms(plan: Plan, sine: _Sine, onsets: np.ndarray, rise: float) -> float | None:
    ends = onsets + BURST_S
    start = _mean(sine, ends, np.array([-0.6 * _HELD_S]), _HELD_S)[0] - rise
    width, found = _RING_PERIODS * sine.period_s, None
    for _ in range(2):  # the second time smoothed by what the first found
        since = np.arange(width, plan.pause_s - _MARGIN_S - width / 2, width / 8)
        found = _way_ms(since, _mean(sine, ends, since, width), start)
        if found is None:
            break
        quarter = round(found / 4000 / sine.period_s) * sine.period_s
        width = min(max(quarter, width), _LONGEST_WIDTH_S)
    return found


def _mean(sine: _Sine, onsets: np.ndarray, since: np.ndarray, length: float) -> np.ndarray:
    """Of all bursts, in dB."""
    return sine.decibels(np.add.outer(onsets, since), length).mean(axis=0)


def _way_ms(since: np.ndarray, gain: np.ndarray, start: float) -> float | None:
    """When the gain has gone its share of the way from its start to where it would come to rest, and
    stays beyond it: what filters do at a jump is over by then."""
    late = since > since[-1] / 2
    end, found = gain[late].mean(), None
    for _ in range(4):
        found = _crossed(since, gain, start, end)
        if found is None or _TOO_LATE * found > since[-1]:
            return None
        end = min(_end(since[late], gain[late], share * found) for share in _TAILS)[1]
    return 1000 * found


def _end(since: np.ndarray, gain: np.ndarray, constant: float) -> tuple[float, float]:
    """Where an exponential of that constant leads, and before it how far it misses the gain."""
    falls = np.exp((since[0] - since) / constant)
    apart = falls - falls.mean()
    left = (apart @ gain) / (apart @ apart)
    end = gain.mean() - left * falls.mean()
    return float(np.sum((gain - end - left * falls) ** 2)), float(end)


def _crossed(since: np.ndarray, gain: np.ndarray, start: float, end: float) -> float | None:
    way = end - start
    if abs(way) < LEAST_WAY_DB:
        return None
    share = (gain - start) / way
    short = np.flatnonzero(share < SHARE)
    if not short.size or short[-1] == share.size - 1:
        return None
    after = short[-1] + 1
    left, right = share[after - 1], share[after]
    return float(
        since[after - 1] + (SHARE - left) / (right - left) * (since[after] - since[after - 1])
    )
