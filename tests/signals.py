"""Test audio, made of tones, silence and noise, and written as real files.

Samples are arrays shaped (frames, channels) in which 1.0 is digital full scale.
"""

import struct
from fractions import Fraction
from pathlib import Path

import av
import numpy as np

RATE = 48_000

PCM_GUID = bytes.fromhex("0100000000001000800000aa00389b71")
FLOAT_GUID = bytes.fromhex("0300000000001000800000aa00389b71")

# Loudspeaker masks of extensible WAV files: front left, right, centre with side or back pair.
MASK_STEREO, MASK_5_0_SIDE, MASK_5_0_BACK = 0x3, 0x607, 0x37


def amplitude(dbfs: float) -> float:
    """Peak of a sine at this level; 0 dBFS is a sine whose peak is full scale (AES17)."""
    return 10 ** (dbfs / 20)


def tone(
    seconds: float,
    dbfs: float,
    *,
    hz: float = 1000.0,
    rate: int = RATE,
    degrees: float = 0.0,
    fade_seconds: float = 0.0,
) -> np.ndarray:
    """One channel of a sine."""
    count = round(seconds * rate)
    phase = 2 * np.pi * hz * np.arange(count) / rate + np.radians(degrees)
    sine = amplitude(dbfs) * np.sin(phase)
    fade = round(fade_seconds * rate)
    if fade:
        ramp = np.arange(fade) / fade
        sine[:fade] *= ramp
        sine[-fade:] *= ramp[::-1]
    return sine


def silence(seconds: float, *, rate: int = RATE) -> np.ndarray:
    return np.zeros(round(seconds * rate))


def noise(seconds: float, dbfs: float, *, rate: int = RATE, seed: int = 1) -> np.ndarray:
    """One channel of white noise whose peaks stay below the level."""
    count = round(seconds * rate)
    return np.random.default_rng(seed).uniform(-1, 1, count) * amplitude(dbfs)


def channels(*each: np.ndarray) -> np.ndarray:
    return np.stack(each, axis=1)


def stereo(one: np.ndarray) -> np.ndarray:
    return channels(one, one)


def chunk(name: bytes, content: bytes) -> bytes:
    """A RIFF chunk, padded to an even length."""
    return name + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)


def bext(
    description: bytes = b"", originator: bytes = b"", time_reference: int = 0, history: bytes = b""
) -> bytes:
    """A version 1 `bext` chunk, laid out by EBU Tech 3285."""
    content = struct.pack(
        "<256s32s32s10s8sQH64s190s",
        description, originator, b"", b"2025-03-14", b"10:00:00", time_reference, 1, b"", b"",
    )  # fmt: skip
    return chunk(b"bext", content + history)


def write_wav(
    path: Path,
    samples: np.ndarray,
    *,
    rate: int = RATE,
    bits: int = 24,
    floating: bool = False,
    mask: int | None = None,
    before: bytes = b"",
    after: bytes = b"",
    kind: bytes = b"RIFF",
    data_size: int | None = None,
    outer_size: int | None = None,
) -> Path:
    """A WAV file. `before` and `after` are whole chunks around the sound; `mask` makes it an
    extensible one; `data_size` and `outer_size` replace the true lengths in the header."""
    sound = _pcm(samples, bits, floating, "<")
    fmt = chunk(b"fmt ", _wave_format(samples.shape[1], rate, bits, floating, mask))
    long = kind != b"RIFF"
    stated = len(sound) if data_size is None else data_size
    data = b"data" + struct.pack("<I", 0xFFFFFFFF if long else stated) + sound
    data += b"\0" * (len(sound) % 2)
    body = before + fmt + data + after
    if long:
        sizes = struct.pack("<QQQI", 4 + 36 + len(body), stated, len(samples), 0)
        body = chunk(b"ds64", sizes) + body
    outer = 4 + len(body) if outer_size is None else outer_size
    head = kind + struct.pack("<I", 0xFFFFFFFF if long else outer) + b"WAVE"
    path.write_bytes(head + body)
    return path


def write_aiff(
    path: Path,
    samples: np.ndarray,
    *,
    rate: int = RATE,
    bits: int = 24,
    compression: bytes = b"",
    frames: int | None = None,
) -> Path:
    """An AIFF file, or an AIFF-C file when `compression` is given (NONE, sowt)."""
    sound = _pcm(samples, bits, False, "<" if compression == b"sowt" else ">")
    count = len(samples) if frames is None else frames
    exponent = 16383 + 31
    mantissa = rate << 32
    while mantissa < 1 << 63:
        mantissa, exponent = mantissa << 1, exponent - 1
    common = struct.pack(">HIHHQ", samples.shape[1], count, bits, exponent, mantissa)
    common += compression + (b"\0\0" if compression else b"")
    body = b"AIFC" if compression else b"AIFF"
    if compression:
        body += _big_chunk(b"FVER", bytes.fromhex("A2805140"))
    body += _big_chunk(b"COMM", common) + _big_chunk(b"SSND", bytes(8) + sound)
    path.write_bytes(b"FORM" + struct.pack(">I", len(body)) + body)
    return path


def encode(
    path: Path,
    samples: np.ndarray,
    codec: str,
    *,
    rate: int = RATE,
    sample_format: str = "fltp",
    bit_rate: int | None = None,
    options: dict[str, str] | None = None,
) -> Path:
    """A file by an encoder of libav; the name's ending chooses the container."""
    layout = {1: "mono", 2: "stereo"}[samples.shape[1]]
    with av.open(str(path), "w", options=options or {}) as container:
        stream = container.add_stream(codec, rate=rate, layout=layout, format=sample_format)
        if bit_rate:
            stream.bit_rate = bit_rate
        packed = np.ascontiguousarray(samples.reshape(1, -1), dtype=np.float32)
        frame = av.AudioFrame.from_ndarray(packed, format="flt", layout=layout)
        frame.sample_rate, frame.time_base, frame.pts = rate, Fraction(1, rate), 0
        resampler = av.AudioResampler(
            format=sample_format, layout=layout, rate=rate, frame_size=stream.frame_size or 4096
        )
        for part in [*resampler.resample(frame), *resampler.resample(None)]:
            container.mux(stream.encode(part))
        container.mux(stream.encode(None))
    return path


def _wave_format(count: int, rate: int, bits: int, floating: bool, mask: int | None) -> bytes:
    block = count * bits // 8
    tag = 0xFFFE if mask is not None else 3 if floating else 1
    fmt = struct.pack("<HHIIHH", tag, count, rate, rate * block, block, bits)
    if mask is not None:
        fmt += struct.pack("<HHI", 22, bits, mask) + (FLOAT_GUID if floating else PCM_GUID)
    return fmt


def _pcm(samples: np.ndarray, bits: int, floating: bool, order: str) -> bytes:
    if floating:
        return samples.astype(f"{order}f{bits // 8}").tobytes()
    most = 2 ** (bits - 1) - 1
    whole = np.clip(np.round(samples * (most + 1)), -most - 1, most).astype(f"{order}i4")
    if bits == 24:
        start = 0 if order == "<" else 1
        return whole.reshape(-1, 1).view(np.uint8)[:, start : start + 3].tobytes()
    return whole.astype(f"{order}i{bits // 8}").tobytes()


def _big_chunk(name: bytes, content: bytes) -> bytes:
    return name + struct.pack(">I", len(content)) + content + b"\0" * (len(content) % 2)
