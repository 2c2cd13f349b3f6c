"""How late a performer hears a sound: buffers, converters and the way through the air."""

import math

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
#: Up to how many ms, how grave, and what it means to a singer.
_BANDS: tuple[tuple[float, Severity, str], ...] = (
    (UNNOTICED_MS, "ok", "goes unnoticed by most singers."),
    (CLOSE_MS, "note", "is workable; it may colour the singer’s own voice. Ask how it feels."),
    (
        WORKABLE_MS,
        "caution",
        f"is workable, but a singer may hear it as a separate sound. {_SMALLER}",
    ),
    (ECHO_MS, "warning", f"drags a singer behind. {_SMALLER}"),
    (math.inf, "warning", f"is heard as an echo by a singer. {_SMALLER}"),
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


def headphone_delay_verdict(delay_ms: float) -> Verdict:
    """What a delay in headphones means to a singer, the performer who minds it most.

    Common practice, no source; sensitivity differs by person and instrument.
    """
    severity, said = next(band[1:] for band in _BANDS if delay_ms <= band[0])
    return Verdict(severity, f"{delay_ms:.1f} ms in the headphones {said}", COMMON_PRACTICE)


def buffer_verdict(
    buffer_samples: int, sample_rate: float, converter_samples: float = 0, distance_m: float = 0.0
) -> Verdict:
    """What a buffer means to a singer in headphones: the bands in ms beside common practice.

    Two rules of the trade disagree: sessions track at 64 to 256 samples, and at 48 kHz the last
    of these comes to more ms than the bands call unnoticed. A study of players (Jack, Mehrabi,
    Stockman and McPherson, 2018) found 10 ms no worse than none and 20 ms worse. So what is merely
    "caution" by its ms is a note while the buffer is a usual one, and what drags is a caution.
    """
    delay_ms = headphone_delay_ms(buffer_samples, sample_rate, converter_samples, distance_m)
    verdict = headphone_delay_verdict(delay_ms)
    low, high = TRACKING_BUFFERS
    is_usual = low <= buffer_samples <= high and delay_ms <= ECHO_MS
    if not is_usual or verdict.severity in ("ok", "note"):
        return verdict
    if verdict.severity == "warning":
        return Verdict(
            "caution",
            f"{delay_ms:.1f} ms in the headphones comes from a buffer that sessions commonly track "
            f"at ({low} to {high} samples), but with converters and air it drags many singers "
            "behind. Use a smaller buffer, or monitor directly from the input.",
            COMMON_PRACTICE,
        )
    return Verdict(
        "note",
        f"{delay_ms:.1f} ms in the headphones is what sessions commonly track at ({low} to {high} "
        "samples), and many singers work well with it; some hear it as a separate sound. Ask how "
        f"it feels. {_SMALLER}",
        COMMON_PRACTICE,
    )


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
