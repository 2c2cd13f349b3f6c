"""How late a performer hears a sound: buffers, converters and the way through the air."""

import math
from dataclasses import dataclass

from gear.audio.verdict import COMMON_PRACTICE, Severity, Verdict

#: Buffer sizes in samples that a workstation offers.
BUFFER_SIZES = (32, 64, 128, 256, 512, 1024, 2048)
#: Common practice, no source: the buffers that sessions are tracked at.
TRACKING_BUFFERS = (64, 256)

#: Common practice, no source: the bands, in ms from microphone to headphone, of a singer.
UNNOTICED_MS = 3.0
CLOSE_MS = 6.0
WORKABLE_MS = 12.0
#: From memory: about where the ear stops fusing a repeat with its original.
ECHO_MS = 30.0

_SMALLER = "Use a smaller buffer, or monitor directly from the input."


@dataclass(frozen=True)
class DelayVerdict(Verdict):
    """brief says the same as the sentence, for a line of a table."""

    brief: str


@dataclass(frozen=True)
class _Band:
    """Up to how many ms, how grave, and what it means to a singer: briefly, and after “12.0 ms in the
    headphones”."""

    up_to_ms: float
    severity: Severity
    brief: str
    said: str


_UNNOTICED = _Band(UNNOTICED_MS, "ok", "unnoticed by most", "goes unnoticed by most singers.")
_CLOSE = _Band(
    CLOSE_MS,
    "note",
    "workable, may colour the voice",
    "is workable; it may colour the singer’s own voice. Ask how it feels.",
)
_ECHO = _Band(
    math.inf, "warning", "heard as an echo", f"is heard as an echo by a singer. {_SMALLER}"
)
#: Of a buffer that sessions commonly track at, and of a larger one, which is never called better.
_USUAL_BANDS = (
    _UNNOTICED,
    _CLOSE,
    _Band(
        WORKABLE_MS,
        "note",
        "workable for many, a second sound to some",
        "is workable for many singers, as sessions commonly track. Ask how it feels: who hears it as a "
        "separate sound is helped by a smaller buffer, or by monitoring directly from the input.",
    ),
    _Band(
        ECHO_MS,
        "caution",
        "drags many singers behind",
        "drags many singers behind, although sessions track at such buffers: converters and air add to "
        f"it. {_SMALLER}",
    ),
    _ECHO,
)
_LARGER_BANDS = (
    _UNNOTICED,
    _CLOSE,
    _Band(
        WORKABLE_MS,
        "caution",
        "may be heard as a second sound",
        f"may be heard as a separate sound by a singer. {_SMALLER}",
    ),
    _Band(ECHO_MS, "warning", "drags a singer behind", f"drags a singer behind. {_SMALLER}"),
    _ECHO,
)


def samples_to_ms(samples: float, sample_rate: float) -> float:
    """Duration in ms of a number of samples at a rate in Hz.

    Raises ValueError for a rate that is not above zero or a negative number of samples.
    """
    if sample_rate <= 0:
        raise ValueError("A sample rate is above zero Hz, such as 48000.")
    if samples < 0:
        raise ValueError("A number of samples cannot be negative.")
    return 1000 * samples / sample_rate


def speed_of_sound(temperature_c: float = 20.0) -> float:
    """Metres a second in dry air: 331.3 + 0.606 T, within 0.1 % of the root law from -15 to +25 C."""
    return 331.3 + 0.606 * temperature_c


def air_path_ms(distance_m: float, temperature_c: float = 20.0) -> float:
    """How long sound takes over a distance in metres; ValueError when it is negative."""
    if distance_m < 0:
        raise ValueError("A distance cannot be negative.")
    return 1000 * distance_m / speed_of_sound(temperature_c)


def round_trip_ms(buffer_samples: int, sample_rate: float, converter_samples: float = 0) -> float:
    """In through one buffer and out through another, plus both converters together."""
    converters = samples_to_ms(converter_samples, sample_rate)
    return 2 * samples_to_ms(buffer_samples, sample_rate) + converters


def headphone_delay_ms(
    buffer_samples: int, sample_rate: float, converter_samples: float = 0, distance_m: float = 0.0
) -> float:
    """What a performer hears in headphones, in ms after the sound was made.

    distance_m is from mouth or instrument to microphone, at 20 C; converter_samples is
    the delay of the input and output converters together. Raises ValueError for a
    negative number or a sample rate that is not above zero.
    """
    return round_trip_ms(buffer_samples, sample_rate, converter_samples) + air_path_ms(distance_m)


def buffer_verdict(
    buffer_samples: int, sample_rate: float, converter_samples: float = 0, distance_m: float = 0.0
) -> DelayVerdict:
    """What a buffer means to a singer in headphones, the performer who minds it most: one verdict.

    Common practice, no source; sensitivity differs by person and instrument. Two rules of the trade
    disagree: sessions track at 64 to 256 samples, and at 48 kHz the last of these comes to more ms
    than the bands call unnoticed. A study of players (Jack, Mehrabi, Stockman and McPherson, 2018)
    found 10 ms no worse than none and 20 ms worse. So up to the largest usual buffer what is merely
    "caution" by its ms is a note, and what drags is a caution.
    """
    delay_ms = headphone_delay_ms(buffer_samples, sample_rate, converter_samples, distance_m)
    bands = _USUAL_BANDS if buffer_samples <= TRACKING_BUFFERS[1] else _LARGER_BANDS
    band = next(band for band in bands if delay_ms <= band.up_to_ms)
    sentence = f"{delay_ms:.1f} ms in the headphones {band.said}"
    return DelayVerdict(band.severity, sentence, COMMON_PRACTICE, band.brief)


def largest_buffer_under(
    limit_ms: float, sample_rate: float, converter_samples: float = 0, distance_m: float = 0.0
) -> int | None:
    """The largest buffer, from 32 to 2048 samples, whose headphone delay keeps to a limit.

    None when even the smallest is too slow. A delay of exactly the limit keeps to it.
    """
    return max(
        (
            size
            for size in BUFFER_SIZES
            if headphone_delay_ms(size, sample_rate, converter_samples, distance_m) <= limit_ms
        ),
        default=None,
    )
