"""What a null test found, in words: nulls, nulls but for …, doesn’t null, and why it may not."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from gear.audio.values import MINUS, format_value

# Rule 6 of delivery: −80 dBFS peak for 24 bit (a proposal of this house’s own, no source).
TOLERANCE_DBFS = -80.0
# Common practice, no source: how much of a song may be left out and it is still said to null but for it.
SHARE_OF_TIME, MOST_BANDS = 0.25, 2
ABSENT = 0.01  # gain of a stem that the mix hasn't
EXPLAINS = 0.9  # of the residual's power: then it is worth saying


class Finding(StrEnum):
    NULLS = "nulls"
    BUT_FOR = "nulls but for"
    NOT = "doesn’t null"


@dataclass(frozen=True)
class Words:
    """`figures` are as `comparing.compare` gives them; `names` are the stems' in its order, `bits` the
    fewest of all files."""

    figures: dict
    names: Sequence[str]
    rate: int
    bits: int

    @property
    def tolerance_dbfs(self) -> float:
        """Each file may be rounded by half its last bit, which adds up."""
        rounding = (len(self.names) + 1) / 2 * 2.0 ** (1 - self.bits)
        return max(TOLERANCE_DBFS, round(20 * math.log10(rounding), 1))

    @property
    def peak_dbfs(self) -> float | None:
        return self.figures["peak_dbfs"]

    @cached_property
    def finding(self) -> Finding:
        if not self._is_over(self.peak_dbfs):
            return Finding.NULLS
        is_short = len(self.times) <= SHARE_OF_TIME * len(self.figures["seconds"])
        is_narrow = 0 < len(self.bands) <= MOST_BANDS
        return Finding.BUT_FOR if is_short or is_narrow else Finding.NOT

    @property
    def in_short(self) -> str:
        if self.finding == Finding.NULLS:
            exactly = "exactly: every sample is the same" if self.peak_dbfs is None else (
                f"to {_level(self.peak_dbfs)} dBFS peak"
            )  # fmt: skip
            return f"The stems null against the mix {exactly}."
        levels = f"Left over: {_level(self.peak_dbfs)} dBFS peak, {self.below_mix}."
        if self.finding == Finding.NOT:
            return f"The stems don’t null against the mix. {levels}"
        is_short = len(self.times) <= SHARE_OF_TIME * len(self.figures["seconds"])
        return f"The stems null but for {self.where if is_short else self.in_bands}. {levels}"

    @property
    def below_mix(self) -> str:
        """RMS against RMS."""
        rms, mix = self.figures["rms_dbfs"], self.figures["mix_rms_dbfs"]
        if rms is None:
            return "nothing"
        if mix is None:
            return "and the mix is silent"
        apart = round(mix - rms, 1)
        return f"{apart:.1f} dB below the mix (RMS)" if apart >= 0 else (
            f"{-apart:.1f} dB above the mix (RMS)"
        )  # fmt: skip

    @cached_property
    def times(self) -> list[int]:
        """Steps of time in which more is left than may be."""
        steps = self.figures["seconds"]
        return [place for place, (peak, *_) in enumerate(steps) if self._is_over(peak)]

    @cached_property
    def bands(self) -> list[float]:
        """Nominal frequencies of octaves in which more is left than may be."""
        return [hz for hz, left, _ in self.figures["bands"] if self._is_over(left)]

    @property
    def where(self) -> str:
        """The first stretches of time, as 0:12 to 0:14."""
        step, stretches = self.figures["step_seconds"], []
        for place in self.times:
            if stretches and stretches[-1][1] == place:
                stretches[-1][1] = place + 1
            else:
                stretches.append([place, place + 1])
        said = [f"{_clock(a * step)} to {_clock(b * step)}" for a, b in stretches[:4]]
        more = f" and {len(stretches) - 4} more places" * (len(stretches) > 4)
        return ", ".join(said) + more

    @property
    def in_bands(self) -> str:
        return "the octaves at " + " and ".join(format_value(hz, "Hz") for hz in self.bands)

    @property
    def level(self) -> dict[str, str]:
        """The four levels as they are shown."""
        names = ("peak", "rms", "mix_peak", "mix_rms")
        return {name: _shown(self.figures[f"{name}_dbfs"], " dBFS") for name in names}

    @property
    def tolerance_in_words(self) -> str:
        said = f"{_level(self.tolerance_dbfs)} dBFS peak"
        if self.tolerance_dbfs > TOLERANCE_DBFS:
            return f"{said}: {self.bits} bit, rounded in each file"
        return f"{said} (common practice)"

    @property
    def by_band(self) -> list[dict[str, str]]:
        return [
            {
                "name": format_value(hz, "Hz"),
                "left": _shown(left),
                "mix": _shown(mix),
                "below": "–" if left is None or mix is None else _level(mix - left),
            }
            for hz, left, mix in self.figures["bands"]
        ]

    @property
    def by_stem(self) -> list[dict[str, str]]:
        """What each stem would have to get, if it alone differed; nothing where nothing is left."""
        if self.peak_dbfs is None:
            return []
        return [
            {"name": name, "change": _change(gain), "share": _percent(share)}
            for (gain, share), name in zip(self.figures["gains"], self.names, strict=True)
        ]

    @property
    def alignment(self) -> str:
        shift = self.figures["shift"]
        by = {
            "time stamps": "by their time stamps",
            "sound": "by their sound (cross-correlation), since not all have a time stamp",
        }[self.figures["aligned_by"]]
        if not shift:
            return f"Stems and mix begin together, {by}."
        side = "earlier" if shift > 0 else "later"
        return f"The stems were moved {self._samples(abs(shift))} {side}, {by}."

    @property
    def hints(self) -> list[str]:
        """What may be behind it; nothing where it nulls."""
        return [] if self.finding == Finding.NULLS else list(self._hints())

    def _hints(self) -> Iterator[str]:
        figures = self.figures
        if figures["aligned_by"] == "time stamps" and (
            late := figures["by_sound"] - figures["shift"]
        ):
            side = "late" if late > 0 else "early"
            yield (
                f"By their sound the stems are {self._samples(abs(late))} {side} after that: "
                "a time stamp may be wrong."
            )
        gain, explained = figures["gain"]
        singles = [
            (share, one, name)
            for (one, share), name in zip(figures["gains"], self.names, strict=True)
        ]
        best = max(singles, default=(0, 1, ""))
        if explained >= EXPLAINS and explained >= best[0] - 0.01:
            yield f"{_changed(gain, 'all stems')} {_percent(explained)} of the residual is gone."
        elif best[0] >= EXPLAINS:
            yield f"{_changed(best[1], best[2])} {_percent(best[0])} of the residual is gone."
        else:
            yield (
                "The gain of no single stem explains it: a stem may be missing, or the mix bus "
                "was processed."
            )
        ends = figures["stems_end_frames"] - figures["mix_end_frames"]
        if abs(ends) >= self.rate / 10:
            which = "after" if ends > 0 else "before"
            yield f"The stems end {abs(ends) / self.rate:.1f} s {which} the mix."

    def _is_over(self, level: float | None) -> bool:
        return level is not None and level > self.tolerance_dbfs

    def _samples(self, count: int) -> str:
        return f"{count:,} sample{'s' * (count != 1)} ({1000 * count / self.rate:.2f} ms)"


def _changed(gain: float, what: str) -> str:
    """What to do with a stem so that the mix has it at this gain, which is 1 as it is."""
    if abs(gain) < ABSENT:
        return f"Without {what}, which the mix doesn’t have,"
    return f"With {what} {_change(gain)}"


def _change(gain: float) -> str:
    """flipped in polarity and 1.0 dB lower."""
    if abs(gain) < ABSENT:
        return "left out"
    change = round(20 * math.log10(abs(gain)), 1)
    turned = f"{abs(change):.1f} dB {'higher' if change > 0 else 'lower'}" if change else ""
    flipped = "flipped in polarity" if gain < 0 else ""
    return " and ".join(each for each in (flipped, turned) if each) or "as it is"


def _percent(share: float) -> str:
    """Never rounded up to all of it."""
    return "all" if share > 0.9999 else f"{math.floor(100 * share)} %"


def _shown(level: float | None, unit: str = "") -> str:
    return "nothing" if level is None else f"{_level(level)}{unit}"


def _level(value: float) -> str:
    return f"{value:.1f}".replace("-", MINUS)


def _clock(seconds: int) -> str:
    return f"{seconds // 60}:{seconds % 60:02}"
