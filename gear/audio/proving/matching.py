"""How well two channels or two units are a pair, by what was measured of both."""

from dataclasses import dataclass

from gear.audio.proving.comparing import Comparison
from gear.audio.values import format_value

MIDDLE_HZ = 1000.0


@dataclass(frozen=True)
class Match:
    """level_db: by how much the second is louder at the frequency nearest to 1 kHz; response_db: the
    most that they differ by besides, between from_hz and to_hz; dynamics_db: the most by which one
    reduces more than the other, None where that is not known of both."""

    level_db: float
    response_db: float
    from_hz: float
    to_hz: float
    dynamics_db: float | None = None

    @property
    def within_db(self) -> float:
        """Of everything, once their levels are set alike, which a fader does."""
        return max(self.response_db, self.dynamics_db or 0.0)

    @property
    def words(self) -> str:
        """Matched within 0.3 dB from 20 Hz to 20 kHz, levels 1.2 dB apart."""
        span = f"{_hertz(self.from_hz)} to {_hertz(self.to_hz)}"
        level = abs(self.level_db)
        apart = f"levels {_db(level)} apart" if round(level, 1) else "levels alike"
        reduced = "" if self.dynamics_db is None else ", and in what they reduce"
        return f"Matched within {_db(self.within_db)} from {span}{reduced}; {apart}."


def match(comparison: Comparison) -> Match | None:
    """None where no response is known of both."""
    if not comparison.response:
        return None
    _, level = min(comparison.response, key=lambda point: abs(point[0] - MIDDLE_HZ))
    response = max(abs(by - level) for _, by in comparison.response)
    reduced = [abs(by) for _, by in comparison.reduction]
    hertz = [each for each, _ in comparison.response]
    return Match(level, response, min(hertz), max(hertz), max(reduced, default=None))


def _db(by: float) -> str:
    """Never better than it is: rounded up, to a tenth."""
    return format_value(-(-round(by, 6) * 10 // 1) / 10, "dB", signed=False)


def _hertz(hertz: float) -> str:
    return format_value(float(f"{hertz:.2g}"), "Hz")
