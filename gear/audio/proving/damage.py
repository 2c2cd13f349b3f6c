"""What was done to a return on its way: clipping at full scale, a gain that somebody turned."""

import numpy as np

from gear.audio.proving.aligning import Alignment
from gear.audio.proving.plan import Plan, Section
from gear.audio.proving.result import Fault, NotMeasured
from gear.audio.proving.steady import tone

#: So near to full scale, and so many samples in a row, isn't a peak but its missing top.
FULL_SCALE, IN_A_ROW = 0.9995, 3
#: What the gain between the first tone and the last may change: said above the first, refused above the second.
DRIFTED_DB, CHANGED_DB = 0.03, 0.1
#: A release leaves so many times what it still makes up within half a tone, at most (2 s: 2.6 times).
_RELEASES = 6.0


def check_clipping(samples: np.ndarray, rate_hz: int) -> None:
    """Raises NotMeasured for a recording that ran into full scale."""
    full = np.flatnonzero(np.abs(samples) >= FULL_SCALE)
    if full.size < IN_A_ROW:
        return
    rows = full[: 1 - IN_A_ROW][full[IN_A_ROW - 1 :] - full[: 1 - IN_A_ROW] == IN_A_ROW - 1]
    rows = rows[np.abs(samples[rows] - samples[rows + IN_A_ROW - 1]) < 1e-4]
    if rows.size:
        raise NotMeasured(
            "clipped",
            f"The recording clips, first at {rows[0] / rate_hz:.1f} s. Turn the recording input down, "
            "not the chain, and record again.",
        )


def gain_faults(plan: Plan, alignment: Alignment, samples: np.ndarray) -> tuple[Fault, ...]:
    """Raises NotMeasured where the last tone came back otherwise than the first. What a compressor still gives
    back of its reduction shows within the tones themselves, and isn't counted."""
    (one, one_rise), (other, other_rise) = (
        _level_and_rise(alignment, samples, each) for each in plan.of("tone")
    )
    changed = other - one
    beyond = abs(changed) - _RELEASES * (abs(one_rise) + abs(other_rise))
    if beyond > CHANGED_DB:
        raise NotMeasured(
            "gain changed",
            f"The last tone came back {abs(changed):.1f} dB {'louder' if changed > 0 else 'quieter'} than the first: "
            "something was turned while it ran, or has a loose contact. Record it again.",
        )
    if beyond > DRIFTED_DB:
        return (
            Fault(
                "drifts",
                f"The gain drifted by {abs(changed):.2f} dB while the file ran: let the gear warm up.",
            ),
        )
    return ()


def _level_and_rise(
    alignment: Alignment, samples: np.ndarray, section: Section
) -> tuple[float, float]:
    """In dBFS at the end of a tone, and by how much it rose within it."""
    parts = np.array_split(alignment.settled(samples, section), 2)
    early, late = (tone(part, alignment.rate_hz, section.hertz).dbfs for part in parts)
    return late, late - early
