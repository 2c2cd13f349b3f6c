"""Audio of our own making: a walking bass, brass-like chords and brushed noise, so that what the demo
measures is really measured."""

import wave
from pathlib import Path

import numpy as np

RATE = 48_000
_BEAT = 60 / 126  # of Neap and Spring
_C = 65.41  # Hz
# A bar of three beats each: its bass note and its chord, in semitones above C.
_BARS = [(0, (24, 27, 31)), (8, (24, 27, 32)), (5, (24, 29, 32)), (7, (23, 26, 31))]


def write_rough_mix(path: Path, *, seconds: float = 64, seed: int = 1, gain: float = 0.5) -> None:
    """A small waltz in C minor, two channels, 24 bit, at 48 kHz."""
    random = np.random.default_rng(seed)
    mix = np.zeros((int(seconds * RATE), 2))
    for beat in range(int(seconds / _BEAT) - 3):
        root, chord = _BARS[beat // 3 % len(_BARS)]
        level = 0.5 if beat // 24 % 2 else 0.3  # every other eight bars louder
        start = int(beat * _BEAT * RATE)
        if beat % 3 == 0:
            _add(mix, start, level * horn(_C * 2 ** (root / 12), 2.4 * _BEAT), pan=0.5)
        else:
            for place, step in enumerate(chord):
                tone = horn(_C * 2 ** (step / 12), 0.7 * _BEAT)
                _add(mix, start, level * 0.5 * tone, pan=0.25 + 0.25 * place)
        _add(mix, start, level * 0.25 * brush(0.12, random), pan=0.6)
    write_wav(path, mix * gain / np.abs(mix).max())


def last_bars(*, seconds: float, seed: int = 3) -> dict[str, np.ndarray]:
    """The end of the same waltz in three stems of two channels each: they sound until the last one
    dies away. Not levelled."""
    random = np.random.default_rng(seed)
    stems = {name: np.zeros((int(seconds * RATE), 2)) for name in ("Rhythm", "Brass", "Piano")}
    for beat in range(int(seconds / _BEAT) - 2):
        root, chord = _BARS[beat // 3 % len(_BARS)]
        start = int(beat * _BEAT * RATE)
        _add(stems["Rhythm"], start, 0.25 * brush(0.12, random), pan=0.6)
        if beat % 3 == 0:
            _add(stems["Rhythm"], start, horn(_C * 2 ** (root / 12), 2 * _BEAT), pan=0.5)
            for place, step in enumerate(chord):
                tone = horn(2 * _C * 2 ** (step / 12), 1.6 * _BEAT)
                _add(stems["Piano"], start, 0.2 * tone, pan=0.3 + 0.1 * place)
        else:
            for place, step in enumerate(chord):
                tone = horn(_C * 2 ** (step / 12), 0.7 * _BEAT)
                _add(stems["Brass"], start, 0.5 * tone, pan=0.25 + 0.25 * place)
    return stems


def _add(mix: np.ndarray, start: int, sound: np.ndarray, *, pan: float) -> None:
    mix[start : start + sound.size] += np.outer(sound, (1 - pan, pan))


def horn(frequency: float, seconds: float) -> np.ndarray:
    """A held tone whose overtones come in after it, as a blown one's do."""
    time = np.arange(int(seconds * RATE)) / RATE
    swell = np.minimum(time / 0.09, 1)
    tone = sum(np.sin(2 * np.pi * frequency * k * time) * swell**k / k for k in range(1, 7))
    return tone * np.minimum((seconds - time) / 0.05, 1) * np.minimum(time / 0.02, 1)


def brush(seconds: float, random: np.random.Generator) -> np.ndarray:
    """Noise that dies away."""
    noise = random.normal(0, 0.5, int(seconds * RATE))
    return noise * np.exp(-np.linspace(0, 5, noise.size))


def write_wav(path: Path, samples: np.ndarray) -> None:
    """Frames by channels, -1 to 1, as 24-bit PCM."""
    whole = np.clip(np.round(samples * (2**23 - 1)), -(2**23), 2**23 - 1).astype("<i4")
    packed = whole.view(np.uint8).reshape(*whole.shape, 4)[..., :3]
    with wave.open(str(path), "wb") as file:
        file.setnchannels(samples.shape[1])
        file.setsampwidth(3)
        file.setframerate(RATE)
        file.writeframes(packed.tobytes())
