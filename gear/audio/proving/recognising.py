"""Whether a recording is a return of the test file at all, and if not, what it is: in words, with what to do."""

import math

import numpy as np

from gear.audio.proving.aligning import MOST_PPM, Alignment
from gear.audio.proving.marks import Found, find_marks
from gear.audio.proving.plan import BURST_S, TONE_HZ, Plan
from gear.audio.proving.result import Fault, NotMeasured
from gear.audio.proving.steady import tone

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
#: Bursts are as loud as each other, and rests as quiet.
_UNEVEN_DB = 6.0


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
            f"{'missing' if took < apart else 'too many'}. Record it again in one go, and don’t edit it.",
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
    whole = BURST_S + plan.pause_s
    for section in plan.of("bursts"):
        begin = round(alignment.sample_at(section.start_s))

        def loudest(from_s: float, to_s: float, begin=begin) -> float:
            first, last = (begin + round(second * alignment.rate_hz) for second in (from_s, to_s))
            return 20 * math.log10(max(float(np.max(np.abs(samples[first:last]))), 1e-9))

        onsets = [BURST_S + number * whole for number in range(plan.burst_count)]
        bursts = [loudest(onset + 0.3, onset + 0.45) for onset in onsets]
        rests = [
            loudest(onset + BURST_S + plan.pause_s / 2, onset + whole - 0.05) for onset in onsets
        ]
        rests.append(loudest(0.2, BURST_S - 0.05))
        if max(bursts) - min(bursts) > _UNEVEN_DB or max(rests) - rests[-1] > _UNEVEN_DB:
            raise NotMeasured(
                "other file",
                "This is the return of another test file: its bursts stand elsewhere. Upload the return of the file "
                "that was offered here, or play that one.",
            )


def check_clear(hidden: float, signal_to_noise_db: float) -> None:
    """Raises NotMeasured where most of the response is hidden: by noise, or since what stands between the
    marks isn't what was played."""
    if hidden <= MOST_HIDDEN:
        return
    if signal_to_noise_db > LEAST_CLEAR_DB / 2:
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
