"""Audio of our own making: plucked strings, held tones and noise bursts, so that what the demo
measures is really measured."""

import wave
from pathlib import Path

import numpy as np

RATE = 48_000
_SCALE = [0, 2, 3, 5, 7, 8, 10, 12]  # D minor, as semitones


def write_rough_mix(path: Path, *, seconds: float = 75, seed: int = 1, gain: float = 0.5) -> None:
    """A small arrangement in D minor, two channels, 24 bit, at 48 kHz."""
    random = np.random.default_rng(seed)
    left, right = np.zeros(int(seconds * RATE)), np.zeros(int(seconds * RATE))
    beat = 60 / 92
    for step in range(int(seconds / beat) - 2):
        note = 146.83 * 2 ** (random.choice(_SCALE) / 12)
        level = 0.35 + 0.4 * (step // 16 % 2)  # quieter verses, louder choruses
        pan = random.uniform(0.3, 0.7)
        sound = level * pluck(note, 1.4, random)
        if step % 4 == 0:
            sound[: RATE // 2] += level * 0.5 * drone(note / 2, 0.5)
        if step % 2 == 1:
            sound[: RATE // 20] += level * 0.2 * burst(0.05, random)
        start = int(step * beat * RATE)
        left[start : start + sound.size] += sound * (1 - pan)
        right[start : start + sound.size] += sound * pan
    mix = np.stack([left, right], axis=1)
    write_wav(path, mix * gain / np.abs(mix).max())


def pluck(frequency: float, seconds: float, random: np.random.Generator) -> np.ndarray:
    """A plucked string by Karplus and Strong's loop: a burst of noise, averaged round and round."""
    period = int(RATE / frequency)
    loop = random.uniform(-1, 1, period)
    turns = []
    for _ in range(int(seconds * RATE) // period + 1):
        turns.append(loop)
        loop = 0.498 * (loop + np.roll(loop, 1))
    return np.concatenate(turns)[: int(seconds * RATE)]


def drone(frequency: float, seconds: float) -> np.ndarray:
    """A held tone with two overtones, faded in and out."""
    time = np.arange(int(seconds * RATE)) / RATE
    tone = sum(np.sin(2 * np.pi * frequency * k * time) / k for k in (1, 2, 3))
    return tone * np.hanning(time.size)


def burst(seconds: float, random: np.random.Generator) -> np.ndarray:
    """Noise that dies away, like a brush on a drum."""
    noise = random.normal(0, 1, int(seconds * RATE))
    return noise * np.exp(-np.linspace(0, 6, noise.size))


def write_wav(path: Path, samples: np.ndarray) -> None:
    """Frames by channels, -1 to 1, as 24-bit PCM."""
    whole = np.clip(np.round(samples * (2**23 - 1)), -(2**23), 2**23 - 1).astype("<i4")
    packed = whole.view(np.uint8).reshape(*whole.shape, 4)[..., :3]
    with wave.open(str(path), "wb") as file:
        file.setnchannels(samples.shape[1])
        file.setsampwidth(3)
        file.setframerate(RATE)
        file.writeframes(packed.tobytes())
