"""What a null test left over, over time, as shapes of a plain drawing: dB of full scale downwards."""

from dataclasses import dataclass

from gear.audio.values import MINUS
from sessions.deliverables.nulling.words import Words

WIDTH, HEIGHT = 900, 240
LOWEST_DBFS, GRID_DB = -120, 20


@dataclass(frozen=True)
class Plot:
    """Points of SVG paths in a box of WIDTH by HEIGHT: what is left (its peak) as an area, the mix
    (RMS) as a line, the tolerance as a height."""

    left: str
    mix: str
    tolerance: float
    grid: tuple[tuple[float, str], ...]
    ends: str


def plot_of(words: Words) -> Plot:
    steps = words.figures["seconds"]
    wide = WIDTH / len(steps)
    left = [
        f"{place * wide:.1f} {_height(peak)}H{(place + 1) * wide:.1f}"
        for place, (peak, _, _) in enumerate(steps)
    ]
    mix = [f"{(place + 0.5) * wide:.1f} {_height(rms)}" for place, (_, _, rms) in enumerate(steps)]
    seconds = len(steps) * words.figures["step_seconds"]
    return Plot(
        left=f"M0 {HEIGHT}L{'L'.join(left)}V{HEIGHT}Z",
        mix=f"M{'L'.join(mix)}",
        tolerance=_height(words.tolerance_dbfs),
        grid=tuple(
            (_height(level), f"{MINUS if level else ''}{-level}")
            for level in range(0, LOWEST_DBFS, -GRID_DB)
        ),
        ends=f"{seconds // 60}:{seconds % 60:02}",
    )


def _height(level: float | None) -> float:
    if level is None:
        return HEIGHT
    return round(HEIGHT * max(0.0, min(1.0, level / LOWEST_DBFS)), 1)
