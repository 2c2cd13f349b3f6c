"""What the measurement of a chain found: figures that are kept, compared and printed.

Levels in are dBFS of the test file as it was played, levels out dBFS of the return, both of a sine's
peak; gains are the difference in dB. What can't be told is None, and `cannot_tell` says why.
"""

from dataclasses import asdict, dataclass, field
from typing import Self

#: Eighty points a decade from 20 Hz to 20 kHz, so that every exact third octave is one of them.
STEPS_A_DECADE = 80
HERTZ = tuple(1000 * 10 ** (n / STEPS_A_DECADE) for n in range(-136, 105))
AT_1_KHZ = HERTZ.index(1000)


@dataclass(frozen=True)
class Compression:
    """Of the static curve: threshold as level in, ratio as in 4:1, width of the knee."""

    threshold_dbfs: float
    ratio: float
    knee_db: float


@dataclass(frozen=True)
class Timing:
    """How fast the gain follows a burst of a frequency: the time constants (to 1 - 1/e) in ms."""

    hertz: float
    attack_ms: float | None
    release_ms: float | None


@dataclass(frozen=True)
class Harmonics:
    """At a level in: the second and third against the fundamental, and all up to the tenth together."""

    in_dbfs: float
    second_db: float | None
    third_db: float | None
    all_db: float | None


@dataclass(frozen=True)
class Fault:
    """What is wrong with a return or speaks against a figure. key: "crackles", "drifts", "noisy" or "long release";
    at_s: where, if at one place."""

    key: str
    sentence: str
    at_s: float | None = None


@dataclass(frozen=True)
class Result:
    """response_db stands at HERTZ; response_level_db is the plan's level of the sweep that it was read
    from, None where even the lowest two disagree: then it depends on level. curve: pairs of level
    in and level out. latency_samples counts at the return's rate, of the cable too until it is subtracted. polarity
    is 1 or -1. hum: pairs of frequency and dBFS. noise is unweighted from 20 Hz to 20 kHz."""

    rate_hz: int
    clock_ppm: float
    latency_samples: float
    polarity: int | None
    gain_db: float | None
    signal_to_noise_db: float
    response_db: tuple[float | None, ...]
    response_level_db: float | None
    harmonics: tuple[Harmonics, ...]
    curve: tuple[tuple[float, float], ...]
    compression: Compression | None
    timings: tuple[Timing, ...]
    noise_dbfs: float
    noise_a_dbfs: float
    hum: tuple[tuple[float, float], ...]
    faults: tuple[Fault, ...] = ()
    cannot_tell: dict[str, str] = field(default_factory=dict)  # by the field's name, a sentence

    @property
    def depends_on_level(self) -> bool:
        return self.response_level_db is None

    @property
    def against_1_khz(self) -> tuple[tuple[float, float | None], ...]:
        """Hertz and dB against the gain at 1 kHz; empty where that is not known."""
        reference = self.response_db[AT_1_KHZ]
        if reference is None:
            return ()
        gains = (None if gain is None else gain - reference for gain in self.response_db)
        return tuple(zip(HERTZ, gains, strict=True))

    def as_json(self) -> dict:
        return asdict(self)

    @classmethod
    def from_json(cls, data: dict) -> Self:
        """Raises KeyError and TypeError for what is none."""
        compression = data["compression"]
        return cls(
            **data
            | {
                "response_db": tuple(data["response_db"]),
                "harmonics": tuple(Harmonics(**each) for each in data["harmonics"]),
                "curve": tuple(map(tuple, data["curve"])),
                "compression": compression and Compression(**compression),
                "timings": tuple(Timing(**each) for each in data["timings"]),
                "hum": tuple(map(tuple, data["hum"])),
                "faults": tuple(Fault(**each) for each in data["faults"]),
            }
        )


class NotMeasured(ValueError):
    """The recording can't be read as a return of this test file. key says which of the known mistakes
    it is ("other file", "other channel", "other rate", "too short", "silent", "dropout", "clipped",
    "gain changed", "disturbed", "noisy", "not sound"); the text is a sentence for the user that says what to do."""

    def __init__(self, key: str, sentence: str):
        super().__init__(sentence)
        self.key = key
