"""The test signal as a function of time, and the file that it is played from.

A function of time, not samples: what comes back runs by another clock, and is held against the same
signal at its own.
"""

import math
import wave
from collections.abc import Iterator
from typing import BinaryIO

import numpy as np

from gear.audio.proving.plan import (
    BURST_S,
    MARK_HZ,
    REST_DB,
    STAIR_S,
    STAIRS_DB,
    SWEEP_HZ,
    SWEEP_S,
    Plan,
    Section,
)

FADE_S = 0.005
STAIR_FADE_S = 0.002
_BLOCK_S = 1.0
_FULL_24 = 2**23 - 1


def sweep_constant_s() -> float:
    """L of x(t) = sin(2 pi f1 L (exp(t / L) - 1)), so that f1 L is whole and the phases of harmonics are
    right: the synchronised sweep of Novak, Lotton and Simon, JAES 63(10), 2015."""
    first, last = SWEEP_HZ
    return round(first * SWEEP_S / math.log(last / first)) / first


def sweep_length_s() -> float:
    """From the first frequency to the last: a little off SWEEP_S, since L is rounded."""
    return sweep_reaches_s(SWEEP_HZ[1])


def sweep_reaches_s(hertz: float) -> float:
    """When a sweep is at a frequency."""
    return sweep_constant_s() * math.log(hertz / SWEEP_HZ[0])


def section_at(plan: Plan, section: Section, seconds: np.ndarray) -> np.ndarray:
    """The section's samples at these times from its start, against the ceiling (1 is a sine's peak there).
    Nothing sounds before its start and after its end."""
    inside = (seconds >= 0) & (seconds < section.length_s)
    return np.where(inside, _SOUNDS[section.kind](plan, section, seconds), 0.0)


def blocks(plan: Plan) -> Iterator[np.ndarray]:
    """The whole file in blocks of a second, full scale is 1."""
    ceiling = 10 ** (plan.ceiling_dbfs / 20)
    # An even number, since a chunk of a WAV file has an even number of bytes.
    count = 2 * math.ceil(plan.length_s * plan.rate_hz / 2 - 1e-6)
    step = round(_BLOCK_S * plan.rate_hz)
    for first in range(0, count, step):
        seconds = np.arange(first, min(first + step, count)) / plan.rate_hz
        block = np.zeros(seconds.size)
        for section in plan.sections:
            if section.start_s <= seconds[-1] and section.end_s >= seconds[0]:
                block += section_at(plan, section, seconds - section.start_s)
        yield ceiling * block


def write_wav(plan: Plan, file: BinaryIO) -> None:
    """24 bits, one channel, without dither: its steps lie 24 bits below what is measured."""
    with wave.open(file, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(3)
        out.setframerate(plan.rate_hz)
        for block in blocks(plan):
            whole = np.round(block * _FULL_24).astype("<i4")
            out.writeframesraw(whole.view("u1").reshape(-1, 4)[:, :3].tobytes())


def _gain(decibels: float) -> float:
    return 10 ** (decibels / 20)


def _faded(seconds: np.ndarray, length: float, fade: float = FADE_S) -> np.ndarray:
    """Raised cosines at both ends."""
    near = np.clip(np.minimum(seconds, length - seconds) / fade, 0, 1)
    return 0.5 - 0.5 * np.cos(np.pi * near)


def _mark(plan: Plan, section: Section, seconds: np.ndarray) -> np.ndarray:
    low, high = MARK_HZ
    length = section.length_s
    at = length - seconds if section.is_reversed else seconds
    phase = 2 * np.pi * (low * at + (high - low) * at**2 / (2 * length))
    return _gain(section.level_db) * np.sin(phase) * _faded(seconds, length)


def _tone(plan: Plan, section: Section, seconds: np.ndarray) -> np.ndarray:
    sine = np.sin(2 * np.pi * section.hertz * seconds)
    return _gain(section.level_db) * sine * _faded(seconds, section.length_s)


def _sweep(plan: Plan, section: Section, seconds: np.ndarray) -> np.ndarray:
    constant, length = sweep_constant_s(), sweep_length_s()
    inside = np.clip(seconds, 0, length)
    phase = 2 * np.pi * section.hertz * constant * np.expm1(inside / constant)
    return _gain(section.level_db) * np.sin(phase) * _faded(inside, length)


def _staircase(plan: Plan, section: Section, seconds: np.ndarray) -> np.ndarray:
    stair = np.clip(seconds // STAIR_S, 0, len(STAIRS_DB) - 1).astype(int)
    level = np.array([_gain(each) for each in STAIRS_DB])[stair]
    sine = np.sin(2 * np.pi * section.hertz * seconds)
    return level * sine * _faded(seconds - stair * STAIR_S, STAIR_S, STAIR_FADE_S)


def _bursts(plan: Plan, section: Section, seconds: np.ndarray) -> np.ndarray:
    since = (seconds - BURST_S) % (BURST_S + plan.pause_s)
    sounds = (seconds >= BURST_S) & (since < BURST_S)
    sounds &= seconds < BURST_S + plan.burst_count * (BURST_S + plan.pause_s)
    level = np.where(sounds, _gain(section.level_db), _gain(REST_DB))
    return level * np.sin(2 * np.pi * section.hertz * seconds)


def _silence(plan: Plan, section: Section, seconds: np.ndarray) -> np.ndarray:
    return np.zeros_like(seconds)


_SOUNDS = {
    "mark": _mark,
    "tone": _tone,
    "sweep": _sweep,
    "staircase": _staircase,
    "bursts": _bursts,
    "silence": _silence,
}
