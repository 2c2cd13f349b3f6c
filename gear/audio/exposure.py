"""How long a sound level may be heard in a day, and the dose of several.

Levels are A-weighted, slow, in dB. The figures are those of NIOSH 98-126 (1998);
local rules may be stricter, and only a licensed practitioner can judge a hearing risk.
"""

import math
from collections.abc import Iterable

from gear.audio.verdict import Verdict

WORKING_DAY_MINUTES = 480.0
DEFERENCE = (
    "A guide only: the rules in force where you work, and a licensed hearing or safety "
    "practitioner, decide."
)


#: Recommended exposure limit: 85 dB(A) for eight hours, half the time for every 3 dB more, none
#: above 140.
NIOSH = "NIOSH 98-126"
LIMIT_DBA, EXCHANGE_DB, CEILING_DBA = 85.0, 3.0, 140.0


def allowed_minutes(level_db: float) -> float:
    """Minutes a day at a level, 0 above the ceiling: T = 480 / 2^((L - 85) / 3)."""
    if level_db > CEILING_DBA:
        return 0.0
    return float(WORKING_DAY_MINUTES / 2 ** ((level_db - LIMIT_DBA) / EXCHANGE_DB))


def dose_percent(exposures: Iterable[tuple[float, float]]) -> float:
    """The day's dose of (level in dB, minutes) pairs: 100 x the sum of C / T.

    100 is the whole allowance; any time above the ceiling is infinitely much.
    Raises ValueError for a negative duration.
    """
    dose = 0.0
    for level_db, minutes in exposures:
        if minutes < 0:
            raise ValueError("A duration cannot be negative.")
        if minutes:
            allowed = allowed_minutes(level_db)
            dose += 100 * minutes / allowed if allowed else math.inf
    return dose


def exposure_verdict(level_db: float, minutes: float) -> Verdict:
    """What a steady level in headphones or from monitors means for a day's listening.

    Raises ValueError for a negative duration.
    """
    dose = dose_percent([(level_db, minutes)])
    allowed = allowed_minutes(level_db)
    heard = f"{level_db:g} dB(A) for {_duration(minutes)}"
    share = f"is {dose:.0f} % of a day’s allowance" if math.isfinite(dose) else "is never allowed"
    if dose > 100:
        advice = f"Turn down, or stop after {_duration(allowed)}." if allowed else "Turn down."
        return Verdict("warning", f"{heard} {share}. {advice} {DEFERENCE}", NIOSH)
    if dose >= 50:
        return Verdict("caution", f"{heard} {share}. Turn down or take breaks. {DEFERENCE}", NIOSH)
    return Verdict("ok", f"{heard} {share}. {DEFERENCE}", NIOSH)


def _duration(minutes: float) -> str:
    if minutes < 1:
        return f"{60 * minutes:.0f} s"
    if minutes < 90:
        return f"{minutes:.0f} min"
    return f"{minutes / 60:.1f} h"
