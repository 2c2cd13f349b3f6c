"""The short test file: three tones, half a minute, for the many chains of a day.

1 kHz, a bottom and a top tone, and 1 kHz again, so that a gain that was moved meanwhile is seen. All
have one level, as a generator at a desk gives them. Times in seconds from the first sample of the file.
"""

from dataclasses import dataclass

from gear.audio.proving.plan import Section
from gear.audio.proving.preferred import THIRD_OCTAVES_HZ

#: Changes with the layout.
VERSION = 1

MIDDLE_HZ = 1000.0
#: Named as discs, generators and meters name them: preferred frequencies (ISO 266).
BOTTOMS_HZ = tuple(hertz for hertz in THIRD_OCTAVES_HZ if 40 <= hertz <= 250)
TOPS_HZ = tuple(hertz for hertz in THIRD_OCTAVES_HZ if 4000 <= hertz <= 16_000)
#: No multiple of a mains frequency, whose hum would be read with it, and in the way of a low cut.
USUAL_BOTTOM_HZ, USUAL_TOP_HZ = 80.0, 10_000.0

FIRST_S = 1.0
LONG_S, SHORT_S = 7.0, 3.0
GAP_S = 1.0


@dataclass(frozen=True)
class ThreeTones:
    """The file: its sample rate, its ceiling, at which all tones play, and its outer frequencies.

    Raises ValueError for a rate that doesn't carry the top tone, and a level above full scale.
    """

    rate_hz: int
    ceiling_dbfs: float
    bottom_hz: float = USUAL_BOTTOM_HZ
    top_hz: float = USUAL_TOP_HZ

    def __post_init__(self) -> None:
        if self.rate_hz < 2.5 * self.top_hz:
            raise ValueError("The top tone needs a higher sample rate.")
        if self.ceiling_dbfs > 0:
            raise ValueError("The tones’ level is 0 dBFS at most.")

    @property
    def hertz(self) -> tuple[float, float, float]:
        """In the order in which they are read on a page: bottom, middle, top."""
        return self.bottom_hz, MIDDLE_HZ, self.top_hz

    @property
    def sections(self) -> tuple[Section, ...]:
        """In the order of time."""
        made: list[Section] = []
        at = FIRST_S
        for hertz, length in (
            (MIDDLE_HZ, LONG_S),
            (self.bottom_hz, LONG_S),
            (self.top_hz, LONG_S),
            (MIDDLE_HZ, SHORT_S),
        ):
            made.append(Section("tone", at, length, hertz=hertz))
            at += length + GAP_S
        return tuple(made)

    @property
    def length_s(self) -> float:
        return self.sections[-1].end_s + GAP_S

    def as_json(self) -> dict:
        """What a return is read by."""
        return {
            "version": VERSION,
            "rate_hz": self.rate_hz,
            "ceiling_dbfs": self.ceiling_dbfs,
            "bottom_hz": self.bottom_hz,
            "top_hz": self.top_hz,
        }

    @classmethod
    def from_json(cls, data: dict) -> "ThreeTones":
        """Raises ValueError for the layout of another version."""
        if data["version"] != VERSION:
            raise ValueError("Those tones were made by another version: make the file anew.")
        return cls(data["rate_hz"], data["ceiling_dbfs"], data["bottom_hz"], data["top_hz"])
