"""Whether a recording is a return of the test file at all, and if not, what it is: in words, with what to do."""

import math

import numpy as np

from gear.audio.proving.aligning import MOST_PPM, Alignment
from gear.audio.proving.marks import Found, find_marks
from gear.audio.proving.plan import BURST_S, TONE_HZ, Plan
from gear.audio.proving.result import Fault, NotMeasured
from gear.audio.proving.steady import Steady, tone

#: Where 1 kHz is looked for in a recording that runs at another speed.
_TONIC_HZ = 430.0, 2300.0
#: Under this, in dBFS, nothing was recorded but a converter's own noise.
SILENT_DBFS = -90.0
#: What comes back so much quieter than it was played is heard through the wall between two channels.
CROSSTALK_DB = -50.0
#: A mark that is so much like itself is one, even without the other.
SURE = 0.4
#: Of the tone of 1 kHz over the noise: with less, figures aren't as exact as they are said to be.
LEAST_CLEAR_DB = 40.0
MOST_HIDDEN = 0.5
#: Of a tone over the noise in one bin beside a harmonic of it, in half a second: some 35 dB over all noise. Where a
#: chain peaks at 1 kHz and a compressor holds the loudest sweep down, less hides the response of a true return.
CLEAN_DB = 75.0
#: What a burst rises by within two blocks of so long, at least, and how near to its place.
LEAST_RISE_DB, _RISE_S, _NEAR_S = 8.0, 0.005, 0.03


def usable(plan: Plan, samples: np.ndarray, rate_hz: int) -> np.ndarray:
    """The samples of one channel in single precision. Raises NotMeasured for what holds no sound, or none at the
    plan's rate."""
    samples = np.asarray(samples)
    if samples.dtype.kind != "f" or samples.ndim != 1 or not samples.size:
        raise NotMeasured("not sound", "The file holds no sound. Upload the recording as WAV.")
    samples = samples.astype(np.float32, copy=False)
    loudest = float(np.max(np.abs(samples)))
    if not math.isfinite(loudest):
        raise NotMeasured(
            "not sound",
            "The file holds numbers that are no sound. Export the recording again, as WAV of 24 bits.",
        )
    if rate_hz != plan.rate_hz:
        raise NotMeasured(
            "other rate",
            f"The recording is at {_kilohertz(rate_hz)}, the test file at {_kilohertz(plan.rate_hz)}. Record at "
            "the test file’s rate, and export without converting.",
        )
    if loudest < 10 ** (SILENT_DBFS / 20):
        raise NotMeasured(
            "silent",
            "The recording is silent. Look which input was recorded, and whether it was armed.",
        )
    return samples


def why_not_found(plan: Plan, samples: np.ndarray, rate_hz: int) -> NotMeasured:
    """For a recording in which the marks don't stand as they were played."""
    starts, ends = find_marks(plan, samples, rate_hz)
    needed, length = plan.length_s, len(samples) / rate_hz
    start, end = _sure(starts), _sure(ends)
    first, last = plan.of("mark")
    apart = last.start_s - first.start_s
    if start and end and end.at > start.at:
        took = (end.at - start.at) / rate_hz
        if abs(_speed(samples, rate_hz) * took / apart - 1) < MOST_PPM * 1e-6:
            return _other_speed(apart / took)
        return NotMeasured(
            "dropout",
            f"Between the marks of the test file {abs(took - apart):.2f} s are "
            f"{'missing' if took < apart else 'too many'}. It was edited, or is the return of another test file. "
            "Play this one, record it in one go, and don’t edit it.",
        )
    if start and (length - start.at / rate_hz) < apart + last.length_s:
        return NotMeasured(
            "too short",
            f"The recording ends before the test file does: it takes {needed:.0f} s. Record it to its end.",
        )
    if end and end.at / rate_hz < apart:
        return NotMeasured(
            "too short",
            "The beginning of the test file is missing. Start the recording first, then the file.",
        )
    speed = _speed(samples, rate_hz)
    if abs(speed - 1) > MOST_PPM * 1e-6 and any(
        map(_sure, find_marks(plan, samples, rate_hz / speed))
    ):
        return _other_speed(speed)
    if start or end:
        return NotMeasured(
            "other file",
            f"Only {'the first' if start else 'the last'} mark of the test file is there. Play the file from its "
            "beginning to its end, and upload what was recorded as it is.",
        )
    if length < 0.9 * needed:
        return NotMeasured(
            "too short",
            f"This is no recording of the test file: it takes {length:.0f} s, the test file {needed:.0f} s.",
        )
    return NotMeasured(
        "other file",
        "This is no recording of the test file: the marks at its beginning and end aren’t there. Look whether the "
        "right file was uploaded, and the right channel recorded.",
    )


def check_level(plan: Plan, alignment: Alignment, samples: np.ndarray) -> None:
    """Raises NotMeasured for what was only heard through another channel."""
    first = plan.of("tone")[0]
    heard = tone(alignment.settled(samples, first), alignment.rate_hz, first.hertz)
    gain = heard.dbfs - plan.ceiling_dbfs - first.level_db
    if gain < CROSSTALK_DB:
        raise NotMeasured(
            "other channel",
            f"The test file comes back {-gain:.0f} dB quieter than it was played, as it does through a neighbouring "
            "channel. Look whether the right channel was recorded.",
        )


def check_bursts(plan: Plan, alignment: Alignment, samples: np.ndarray) -> None:
    """The bursts stand by the release that a file was made for. Raises NotMeasured where they stand otherwise."""
    expected = BURST_S + (BURST_S + plan.pause_s) * np.arange(plan.burst_count)
    for section in plan.of("bursts"):
        heard = alignment.cut(samples, section)
        count = round(_RISE_S * alignment.rate_hz)
        peaks = np.abs(heard[: len(heard) // count * count]).reshape(-1, count).max(axis=1)
        # A compressor that is at work all the time still lets the beginning of each burst through.
        rises = 20 * np.log10(np.maximum(peaks[2:], 1e-9) / np.maximum(peaks[:-2], 1e-9))
        seconds = _RISE_S * (1.5 + np.arange(rises.size))
        near = np.abs(seconds[:, None] - expected) < _NEAR_S
        first = float(rises[near[:, 0]].max(initial=0))
        if first < 2 * LEAST_RISE_DB:
            continue
        limit = max(first / 2, LEAST_RISE_DB)
        each = np.where(near, rises[:, None], 0).max(axis=0)
        others = rises[~near.any(axis=1) & (seconds > _NEAR_S)]
        if each.min() < limit or others.max(initial=0) > limit:
            raise NotMeasured(
                "other file",
                "This is the return of another test file: its bursts stand elsewhere. Upload the return of the file "
                "that was offered here, or play that one.",
            )


def check_clear(hidden: float, heard: Steady) -> None:
    """Raises NotMeasured where so much of the response is hidden even in the loudest sweep: by noise, which goes with the tone, too, or
    since what stands between the marks isn't what was played."""
    if hidden <= MOST_HIDDEN:
        return
    if heard.amplitude**2 > heard.noises[0] * 10 ** (CLEAN_DB / 10):
        raise NotMeasured(
            "other file",
            "Between its marks this recording doesn’t hold what was played. Play the test file from its beginning "
            "to its end, forwards, and upload what was recorded as it is.",
        )
    raise NotMeasured(
        "noisy",
        "Noise hides the test file. Look whether the right channel was recorded and nothing else plays into it, "
        "and turn the chain’s output up.",
    )


def noise_faults(signal_to_noise_db: float) -> tuple[Fault, ...]:
    """What has to be said where the tone of 1 kHz stands so far out of the noise."""
    if signal_to_noise_db >= LEAST_CLEAR_DB:
        return ()
    return (
        Fault(
            "noisy",
            f"Noise lies only {max(signal_to_noise_db, 0):.0f} dB below the tone of 1 kHz: figures are rough. "
            f"Turn the chain’s output up, or look where the noise comes from; {LEAST_CLEAR_DB:.0f} dB are enough.",
        ),
    )


def _sure(found: list[Found]) -> Found | None:
    return found[0] if found and found[0].likeness >= SURE else None


def _speed(samples: np.ndarray, rate_hz: int) -> float:
    """How much faster than it was made a recording runs whose loudest steady tone is the staircase."""
    size = len(samples)
    spectrum = np.abs(np.fft.rfft(samples))
    low, high = (round(hertz * size / rate_hz) for hertz in _TONIC_HZ)
    at = low + int(np.argmax(spectrum[low:high]))
    return at * rate_hz / size / TONE_HZ


def _other_speed(speed: float) -> NotMeasured:
    return NotMeasured(
        "other rate",
        f"The recording runs at {100 * speed:.1f} % of the speed of the test file. Play and record it at the file’s own "
        "sample rate, and export without converting.",
    )


def _kilohertz(rate_hz: int) -> str:
    return f"{rate_hz / 1000:g} kHz"
