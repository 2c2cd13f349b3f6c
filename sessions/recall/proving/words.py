"""What a full measurement found, in words and figures. Levels are dBu, as `found_in_dbu` has them."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from gear.audio.level_text import level_text
from gear.audio.proving.result import HERTZ, Harmonics, Result
from gear.audio.values import MINUS, format_value

SCOPE = "Measured from where the file is fed in: microphone, placement and room are not covered."
#: The response is told against that at 1 kHz.
REFERENCE = HERTZ.index(min(HERTZ, key=lambda hertz: abs(hertz - 1000)))
EDGE_DB = 3.0
#: What is called flat. Ours, no source.
FLAT_DB = 0.5
_NAMES = {
    "gain_db": "Gain",
    "response_db": "Response",
    "polarity": "Polarity",
    "compression": "Threshold and ratio",
    "timings": "Attack and release",
    "harmonics": "Harmonics",
    "noise_dbfs": "Noise",
    "hum": "Hum",
    "latency_samples": "Latency",
}


@dataclass(frozen=True)
class Figure:
    name: str
    value: str
    note: str = ""


@dataclass(frozen=True)
class Words:
    """found: with levels in dBu. less_cable: whether a cable's latency was taken off."""

    found: Result
    less_cable: bool = False

    @property
    def figures(self) -> list[Figure]:
        return list(self._figures())

    @property
    def in_short(self) -> str:
        """Gain, response and what compresses, in a line."""
        said = [self.gain, self.response]
        if self.found.compression:
            said.append(f"compresses from {self.threshold}")
        return "; ".join(said)

    @property
    def gain(self) -> str:
        return _db(self.found.gain_db, "+.2f") + " at 1 kHz"

    @property
    def response(self) -> str:
        """Flat, or where it is 3 dB down, and where it departs most."""
        if self.found.depends_on_level:
            return "response depends on the level"
        shape = relative_response(self.found)
        if not shape:
            return "response not known"
        most = max(shape, key=lambda each: abs(each[1]))
        if abs(most[1]) <= FLAT_DB:
            return f"flat within ±{abs(most[1]):.1f} dB from 20 Hz to 20 kHz"
        low, high = _edges(shape)
        edges = [hertz_text(hertz) for hertz in (low, high) if hertz]
        inside = [each for each in shape if (low or 0) <= each[0] <= (high or HERTZ[-1])]
        most = max(inside, key=lambda each: abs(each[1]))
        said = [f"{MINUS}3 dB at {' and '.join(edges)}"] if edges else []
        if abs(most[1]) > FLAT_DB and abs(abs(most[1]) - EDGE_DB) > FLAT_DB:
            said.append(f"{_db(most[1], '+.1f')} at {hertz_text(most[0])}")
        return ", ".join(said) or f"{_db(most[1], '+.1f')} at {hertz_text(most[0])}"

    @property
    def threshold(self) -> str:
        knee = self.found.compression
        return f"{level_text(knee.threshold_dbfs)} at {ratio_text(knee.ratio)}"

    @property
    def cannot_tell(self) -> list[tuple[str, str]]:
        return [
            (_NAMES.get(key, key.replace("_", " ").capitalize()), why)
            for key, why in self.found.cannot_tell.items()
        ]

    @property
    def by_level(self) -> list[tuple[str, str, Harmonics | None]]:
        """Each step of the staircase: level in, level out, and its harmonics."""
        harmonics = {round(each.in_dbfs, 1): each for each in self.found.harmonics}
        return [
            (_figure(level_in), _figure(level_out, "+.2f"), harmonics.get(round(level_in, 1)))
            for level_in, level_out in self.found.curve
        ]

    def _figures(self) -> Iterator[Figure]:
        found = self.found
        if found.gain_db is not None:
            yield Figure("Gain", self.gain)
        response = self.response
        yield Figure("Response", response[0].upper() + response[1:], "against 1 kHz")
        if found.polarity:
            yield Figure("Polarity", "as it was fed in" if found.polarity > 0 else "reversed")
        if found.compression:
            knee = found.compression.knee_db
            yield Figure(
                "Threshold and ratio",
                self.threshold,
                f"level where it is fed in; {f'knee of {knee:.1f} dB' if knee else 'hard knee'}",
            )
        for timing in found.timings:
            if timing.attack_ms or timing.release_ms:
                yield Figure(
                    f"Attack and release at {hertz_text(timing.hertz)}",
                    f"{ms_text(timing.attack_ms)} and {ms_text(timing.release_ms)}",
                    "for 63 % of the way",
                )
        if loudest := _loudest(found.harmonics):
            yield Figure(
                f"Harmonics at {level_text(loudest.in_dbfs)}",
                f"second {_db(loudest.second_db)}, third {_db(loudest.third_db)}",
                "against 1 kHz",
            )
        yield Figure(
            "Noise",
            level_text(found.noise_a_dbfs) + " A-weighted",
            f"{level_text(found.noise_dbfs)} from 20 Hz to 20 kHz; {found.signal_to_noise_db:.0f} dB "
            "below the tone",
        )
        if found.hum:
            hertz, level = max(found.hum, key=lambda each: each[1])
            yield Figure("Hum", f"{level_text(level)} at {hertz_text(hertz)}", "its loudest part")
        latency = f"{found.latency_samples:,.1f} samples".replace("-", MINUS)
        yield Figure(
            "Latency",
            f"{latency} ({_number(1000 * found.latency_samples / found.rate_hz, '.2f')} ms)",
            "without the cable’s" if self.less_cable else "with converters and their buffers",
        )
        yield Figure("Clock", f"{_number(found.clock_ppm, '+.2f')} ppm", "of the recording")


def relative_response(found: Result) -> list[tuple[float, float]]:
    """Where it is known: frequency and gain against that at 1 kHz; empty where that is not known."""
    reference = found.response_db[REFERENCE]
    if reference is None:
        return []
    return [
        (hertz, gain - reference)
        for hertz, gain in zip(HERTZ, found.response_db, strict=True)
        if gain is not None
    ]


def _edges(shape: list[tuple[float, float]]) -> tuple[float | None, float | None]:
    """The nearest to 1 kHz at which it has fallen by 3 dB, below and above; None where it has not."""
    return (
        _edge([each for each in reversed(shape) if each[0] <= 1000]),
        _edge([each for each in shape if each[0] >= 1000]),
    )


def _edge(outwards: list[tuple[float, float]]) -> float | None:
    """Between the two points that it lies between."""
    for (near, before), (far, gain) in pairwise(outwards):
        if gain <= -EDGE_DB < before:
            return near * (far / near) ** ((before + EDGE_DB) / (before - gain))
    return None


def _loudest(harmonics: tuple[Harmonics, ...]) -> Harmonics | None:
    told = [each for each in harmonics if each.second_db is not None or each.third_db is not None]
    return max(told, key=lambda each: each.in_dbfs, default=None)


def hertz_text(hertz: float) -> str:
    """In two figures, as an ear would tell it."""
    return format_value(float(f"{hertz:.2g}"), "Hz")


def ratio_text(ratio: float) -> str:
    return "∞:1" if ratio > 20 else f"{ratio:.1f}:1"


def ms_text(milliseconds: float | None) -> str:
    if milliseconds is None:
        return "not known"
    return f"{milliseconds:.2g} ms" if milliseconds < 100 else f"{milliseconds:.0f} ms"


def _db(value: float | None, form: str = ".1f") -> str:
    return "not known" if value is None else f"{_number(value, form)} dB"


def _figure(value: float, form: str = "+.1f") -> str:
    return _number(value, form)


def _number(value: float, form: str) -> str:
    return format(value, form).replace("-", MINUS)
