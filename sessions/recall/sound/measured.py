"""What was measured of a chain's sound, as sheets, files and rebuilds tell it: ours, or of another studio."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from gear.audio.proving.in_dbu import in_dbu

from gear.audio.proving.plan import Plan
from gear.audio.proving.result import HERTZ, Result

_AT_1_KHZ = min(range(len(HERTZ)), key=lambda place: abs(HERTZ[place] - 1000))


@dataclass(frozen=True)
class ToneRead:
    """A tone as it was fed in, and what it was behind the chain; None where no level was read."""

    hertz: float
    sent_dbu: float
    read_dbu: float | None

    @property
    def gain_db(self) -> float | None:
        return None if self.read_dbu is None else self.read_dbu - self.sent_dbu


@dataclass(frozen=True, kw_only=True)
class Measured:
    """A measurement of a chain, from where the signal was fed in.

    through: the position of the last unit measured through, None where it is all, up to the converter.
    A full one has plan and result; fed_dbu is the test file's ceiling at the injection point, behind a
    pad of pad_db. Three tones have none of these.
    changed_since: a unit was set otherwise after it.
    """

    measured_by: str
    measured_at: datetime | None
    through: int | None = None
    plan: Plan | None = None
    result: Result | None = None
    fed_dbu: float | None = None
    pad_db: float = 0.0
    cable_taken_off: bool = False
    tones: tuple[ToneRead, ...] = ()
    changed_since: bool = False

    @property
    def is_full(self) -> bool:
        return self.result is not None

    @cached_property
    def in_dbu(self) -> Result:
        """Of a full one: levels in at the injection point and levels out at the converter, in dBu."""
        sent = self.fed_dbu - self.plan.ceiling_dbfs
        return in_dbu(self.result, sent_full_scale_dbu=sent, read_full_scale_dbu=sent + self.pad_db)

    @cached_property
    def response(self) -> tuple[tuple[float, float | None], ...]:
        """Hertz and dB against 1 kHz; empty where that is not known."""
        gains = self.result.response_db
        reference = gains[_AT_1_KHZ]
        if reference is None:
            return ()
        against = (None if gain is None else gain - reference for gain in gains)
        return tuple(zip(HERTZ, against, strict=True))


def newest_of_each(measured: Sequence[Measured]) -> tuple[Measured, ...]:
    """Of several that say the same, the newest: full before tones, the whole chain before its parts.
    They come newest first."""
    found: Mapping[tuple, Measured] = {}
    for each in measured:
        found.setdefault((not each.is_full, each.through is not None, each.through or 0), each)
    return tuple(found[key] for key in sorted(found))
