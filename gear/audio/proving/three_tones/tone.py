"""What three tones say of a chain, and what they say that it does otherwise than it did."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gear.audio.level_text import level_text
from gear.audio.proving.comparing import Comparison, Difference
from gear.audio.proving.result import HERTZ, Result
from gear.audio.proving.three_tones.layout import MIDDLE_HZ
from gear.audio.values import format_value

#: Tones that were sent at other levels come back so, too, where a compressor acts. Ours, no source.
SAME_LEVEL_DB = 0.5


@dataclass(frozen=True)
class Tone:
    """Sent and read as RMS levels of a sine; read_dbu is None where it can't be told.

    said: sentences that speak against the reading.
    """

    hertz: float
    sent_dbu: float
    read_dbu: float | None = None
    said: tuple[str, ...] = ()

    @property
    def gain_db(self) -> float | None:
        return None if self.read_dbu is None else self.read_dbu - self.sent_dbu

    def as_json(self) -> dict:
        facts = {"hertz": self.hertz, "sent_dbu": self.sent_dbu, "read_dbu": self.read_dbu}
        return facts | ({"said": list(self.said)} if self.said else {})

    @classmethod
    def from_json(cls, data: dict) -> "Tone":
        """Raises KeyError for what is none."""
        said = tuple(data.get("said", ()))
        return cls(data["hertz"], data["sent_dbu"], data["read_dbu"], said)


def tones_of(result: Result, hertz: Sequence[float], *, sent_dbu: float) -> tuple[Tone, ...]:
    """What tones would have read, by the response of a full measurement (levels in dBu: `in_dbu`)."""
    return tuple(Tone(each, sent_dbu, _read(result, each, sent_dbu)) for each in hertz)


def _read(result: Result, hertz: float, sent_dbu: float) -> float | None:
    """By a straight line over the logarithm of frequency, between the two points beside it."""
    above = next((n for n, each in enumerate(HERTZ) if each >= hertz), None)
    if result.depends_on_level or not above:
        return None
    low, high = result.response_db[above - 1], result.response_db[above]
    if low is None or high is None:
        return None
    share = math.log(hertz / HERTZ[above - 1]) / math.log(HERTZ[above] / HERTZ[above - 1])
    return sent_dbu + low + share * (high - low)


def compare_tones(then: Sequence[Tone], now: Sequence[Tone], tolerance_db: float) -> Comparison:
    """The level by 1 kHz, then what bottom and top differ by besides; tolerance_db as the house has it."""
    difference = tuple(_pairs(then, now))
    told = tuple(_told(dict(difference), tolerance_db))
    return Comparison(tolerance_db, told, tuple(_against(then, now)), difference, ())


def _pairs(then: Sequence[Tone], now: Sequence[Tone]) -> Iterator[tuple[float, float]]:
    before = {tone.hertz: tone.gain_db for tone in then}
    for tone in now:
        earlier = before.get(tone.hertz)
        if earlier is not None and tone.gain_db is not None:
            yield tone.hertz, tone.gain_db - earlier


def _told(by_hertz: dict[float, float], tolerance_db: float) -> Iterator[Difference]:
    middle = by_hertz.get(MIDDLE_HZ, 0.0)
    if abs(middle) > tolerance_db:
        words = f"{_db(middle)} {'high' if middle > 0 else 'low'}"
        yield Difference("level", words, middle, MIDDLE_HZ)
    for hertz, by in by_hertz.items():
        besides = by - middle
        if hertz != MIDDLE_HZ and abs(besides) > tolerance_db:
            words = f"at {_name(hertz)} {_db(besides)} {'more' if besides > 0 else 'less'}"
            yield Difference("response", words, besides, hertz)


def _against(then: Sequence[Tone], now: Sequence[Tone]) -> Iterator[str]:
    """What can't be compared, and what speaks against it."""
    compared = {hertz for hertz, _ in _pairs(then, now)}
    for hertz in sorted({tone.hertz for tone in (*then, *now)} - compared):
        yield f"{_name(hertz)} was not read both times: it is not compared."
    sent = {tone.hertz: tone.sent_dbu for tone in then}
    louder = max(
        (tone.sent_dbu - sent[tone.hertz] for tone in now if tone.hertz in compared),
        key=abs,
        default=0.0,
    )
    if abs(louder) > SAME_LEVEL_DB:
        first, second = (level_text(each[0].sent_dbu) for each in (then, now))
        yield (
            f"The tones were sent at {first} then and at {second} now: where a unit compresses or "
            "distorts, that alone makes a difference."
        )


def _db(by: float) -> str:
    return format_value(round(abs(by), 1), "dB", signed=False)


def _name(hertz: float) -> str:
    return format_value(hertz, "Hz")
