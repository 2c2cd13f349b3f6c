"""Reads the levels of the three tones in a recording, or says why it can't."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gear.audio.proving.result import Fault, NotMeasured
from gear.audio.proving.three_tones.hearing import Heard
from gear.audio.proving.three_tones.layout import MIDDLE_HZ, ThreeTones
from gear.audio.proving.three_tones.locating import SETTLES_S, SPARE_S, Located, sections_from_first
from gear.audio.values import format_value

SILENT_DBFS = -100.0
FULL = 10 ** (-0.004 / 20)  # what a converter that clips gives, three samples in a row
DROPOUT_DB, CLEAR_DB = 0.8, 30.0
MOVED_DB, CHANGED_DB = 0.1, 0.5
MASKED_DB, DISTORTED_DB = 40.0, -20.0
#: What a file sounds like that is played or recorded at another sample rate than its own.
OTHER_RATES = (44.1 / 48, 48 / 44.1, 2.0, 0.5, 44.1 / 96, 96 / 44.1)


@dataclass(frozen=True)
class ToneRead:
    """A tone's level at the return, dBFS of a sine's peak; None where it lies under the noise."""

    hertz: float
    dbfs: float | None
    faults: tuple[Fault, ...] = ()

    def as_json(self) -> dict:
        """With the sentences that speak against it."""
        return {
            "hertz": self.hertz,
            "dbfs": self.dbfs,
            "said": [fault.sentence for fault in self.faults],
        }


@dataclass(frozen=True)
class TonesRead:
    """The tones from the bottom up, and where the first began."""

    tones: tuple[ToneRead, ...]
    starts_s: float

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What speaks against any of the readings."""
        return tuple(fault for tone in self.tones for fault in tone.faults)


def find_tones(plan: ThreeTones, samples: np.ndarray, rate_hz: float) -> TonesRead:
    """What a recording of the file holds; samples of one channel, full scale 1.

    Raises NotMeasured where it is none, or can't be relied on.
    """
    samples = np.asarray(samples, np.float32)
    _refuse_without_sound(samples)
    heard = Heard(plan, samples, rate_hz)
    if not heard.is_it:
        raise _what_else(plan, samples, rate_hz)
    if heard.is_cut:
        raise _too_short()
    _refuse_clipped(heard.parts)
    first, bottom, top, last = heard.levels
    _refuse_changed(first, last)
    faults = [
        *_moved(first, last),
        *_distorted(heard),
        *_masked(heard.found),
        *_dropouts(heard.found),
    ]
    read = tuple(
        ToneRead(hertz, level, tuple(fault for of, fault in faults if of == hertz))
        if level is not None
        else ToneRead(hertz, None, (_not_there(hertz),))
        for hertz, level in zip(plan.hertz, (bottom, first, top), strict=True)
    )
    return TonesRead(read, round(heard.found.starts_s, 2))


def _what_else(plan: ThreeTones, samples: np.ndarray, rate_hz: float) -> NotMeasured:
    """Why the tones aren't found."""
    for ratio in OTHER_RATES:
        if plan.top_hz * ratio >= rate_hz / 2:
            continue
        other = Heard(plan, samples, rate_hz, ratio)
        if other.is_it and not other.is_cut:
            heard, own = _name(MIDDLE_HZ * ratio), _name(plan.rate_hz)
            return NotMeasured(
                "other rate",
                f"1 kHz comes back as {heard}: the file was played or recorded at another sample rate "
                f"than its own. Set both to {own} and record it again.",
            )
    sections = sections_from_first(plan)
    if samples.size / rate_hz < sections[-1].end_s - SETTLES_S - SPARE_S:
        return _too_short()
    named = ", ".join(_name(hertz) for hertz in plan.hertz)
    return NotMeasured(
        "other file",
        f"The tones ({named}) are not in this recording: choose the one that was made while their file "
        "was played.",
    )


def _too_short() -> NotMeasured:
    return NotMeasured(
        "too short",
        "The recording does not hold all of the tones: begin it before the first, and end it after the "
        "last.",
    )


def _refuse_without_sound(samples: np.ndarray) -> None:
    if not np.all(np.isfinite(samples)):
        raise NotMeasured(
            "not sound", "The recording holds values that are no sound: export it again."
        )
    if not samples.size or np.max(np.abs(samples)) < 10 ** (SILENT_DBFS / 20):
        raise NotMeasured(
            "silent", "The recording is silent: look at the patch, and at which track was recorded."
        )


def _refuse_clipped(parts: list[np.ndarray]) -> None:
    for part in parts:
        full = np.abs(part) >= FULL
        if np.any(full[:-2] & full[1:-1] & full[2:]):
            raise NotMeasured(
                "clipped",
                "The converter clips: lower the tones’ level, or set its input to the project’s alignment.",
            )


def _refuse_changed(first: float | None, last: float | None) -> None:
    if first is not None and last is not None and abs(last - first) > CHANGED_DB:
        raise NotMeasured(
            "gain changed",
            f"1 kHz is {abs(last - first):.1f} dB {'louder' if last > first else 'softer'} at the end "
            "than at the start: leave all controls alone while the tones sound, and record them again.",
        )


def _not_there(hertz: float) -> Fault:
    return Fault("not there", f"{_name(hertz)} lies under the noise: its level can’t be told.")


def _moved(first: float | None, last: float | None) -> Iterator[tuple[float, Fault]]:
    if first is not None and last is not None and abs(last - first) > MOVED_DB:
        moved = f"{abs(last - first):.1f} dB"
        sentence = f"1 kHz moved by {moved} meanwhile: has the gear warmed up?"
        yield MIDDLE_HZ, Fault("moved", sentence)


def _distorted(heard: Heard) -> Iterator[tuple[float, Fault]]:
    if heard.spectra[0].distortion_db(MIDDLE_HZ) > DISTORTED_DB:
        sentence = "1 kHz comes back with more than 10 % of distortion: is a unit clipping?"
        yield MIDDLE_HZ, Fault("distorted", sentence)


def _masked(found: Located) -> Iterator[tuple[float, Fault]]:
    """Where hum or noise at a tone's own frequency is heard just before it."""
    for section in found.sections[1:]:
        before = found.before_db(section)
        if before is None or not found.is_there(section.hertz):
            continue
        below = float(np.mean(found.levels_db(section))) - before
        if below < MASKED_DB:
            off = 20 * np.log10(1 + 10 ** (-below / 20))
            sentence = (
                f"At {_name(section.hertz)}, hum or noise lies only {below:.0f} dB below the tone: its "
                f"level may be off by {off:.1f} dB."
            )
            yield section.hertz, Fault("masked", sentence)


def _dropouts(found: Located) -> Iterator[tuple[float, Fault]]:
    for section in found.sections:
        levels = found.levels_db(section)
        lowest = int(np.argmin(levels))
        is_clear = found.contrast_db(section.hertz) >= CLEAR_DB
        if is_clear and np.median(levels) - levels[lowest] > DROPOUT_DB:
            step_s = (section.length_s - SETTLES_S - SPARE_S) / levels.size
            at = found.starts_s + section.start_s + SETTLES_S + lowest * step_s
            sentence = (
                f"{_name(section.hertz)} drops out {at:.1f} s after the recording’s start: look at "
                "cables and buffers, and record it again."
            )
            yield section.hertz, Fault("dropout", sentence, round(at, 2))


def _name(hertz: float) -> str:
    return format_value(round(hertz, 1), "Hz")
