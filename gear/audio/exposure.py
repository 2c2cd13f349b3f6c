"""How long a sound level may be heard in a day, and the dose of several.

Levels are A-weighted, slow, in dB. The figures are reference values of published rules;
local rules may be stricter, and only a licensed practitioner can judge a hearing risk.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from gear.audio.verdict import Verdict

WORKING_DAY_MINUTES = 480.0
DEFERENCE = (
    "A guide only: the rules in force where you work, and a licensed hearing or safety "
    "practitioner, decide."
)


@dataclass(frozen=True)
class Criterion:
    """A daily limit: a level allowed for eight hours, halved for each exchange step.

    level_db is allowed for 8 h; each exchange_db above it halves the time. Levels below
    threshold_db add nothing to a dose; above ceiling_db no time at all is allowed.
    """

    name: str
    level_db: float
    exchange_db: float
    threshold_db: float = -math.inf
    ceiling_db: float = math.inf


#: NIOSH 98-126 (1998), recommended exposure limit.
NIOSH = Criterion("NIOSH 98-126", 85.0, 3.0, ceiling_db=140.0)
#: OSHA 29 CFR 1910.95, table G-16, which ends at 115 dBA.
OSHA = Criterion("OSHA 29 CFR 1910.95", 90.0, 5.0, ceiling_db=115.0)
#: Directive 2003/10/EC, article 3: equal energy, so 3.01 dB to the halving.
_EQUAL_ENERGY = 10 * math.log10(2)
EU_LIMIT = Criterion("2003/10/EC limit", 87.0, _EQUAL_ENERGY)
EU_UPPER_ACTION = Criterion("2003/10/EC upper action value", 85.0, _EQUAL_ENERGY)
EU_LOWER_ACTION = Criterion("2003/10/EC lower action value", 80.0, _EQUAL_ENERGY)


def allowed_minutes(level_db: float, criterion: Criterion) -> float:
    """Minutes a day at a level; 0 above the criterion's ceiling.

    T = 480 / 2^((L - level) / exchange): NIOSH 98-126, OSHA 1910.95 appendix A.
    """
    if level_db > criterion.ceiling_db:
        return 0.0
    return float(
        WORKING_DAY_MINUTES / 2 ** ((level_db - criterion.level_db) / criterion.exchange_db)
    )


def dose_percent(exposures: Iterable[tuple[float, float]], criterion: Criterion) -> float:
    """The day's dose of (level in dB, minutes) pairs: 100 x the sum of C / T.

    100 is the whole allowance; any time above the ceiling is infinitely much.
    Raises ValueError for a negative duration.
    """
    dose = 0.0
    for level_db, minutes in exposures:
        if minutes < 0:
            raise ValueError("A duration cannot be negative.")
        if minutes and level_db >= criterion.threshold_db:
            allowed = allowed_minutes(level_db, criterion)
            dose += 100 * minutes / allowed if allowed else math.inf
    return dose


def eight_hour_level(dose: float, criterion: Criterion) -> float:
    """The steady level over eight hours, in dB, that gives the same dose in per cent.

    OSHA 1910.95 appendix A: 16.61 log10(D / 100) + 90; with equal energy it is L EX,8h.
    A dose of 0 is -inf dB. Raises ValueError for a negative dose.
    """
    if dose < 0:
        raise ValueError("A dose cannot be negative.")
    if dose == 0:
        return -math.inf
    return criterion.level_db + criterion.exchange_db * math.log2(dose / 100)


def exposure_verdict(level_db: float, minutes: float, criterion: Criterion) -> Verdict:
    """What a steady level in headphones or from monitors means for a day's listening.

    Raises ValueError for a negative duration.
    """
    dose = dose_percent([(level_db, minutes)], criterion)
    allowed = allowed_minutes(level_db, criterion)
    heard = f"{level_db:g} dB(A) for {_duration(minutes)}"
    share = f"is {dose:.0f} % of a day’s allowance" if math.isfinite(dose) else "is never allowed"
    if dose > 100:
        advice = f"Turn down, or stop after {_duration(allowed)}." if allowed else "Turn down."
        return Verdict("warning", f"{heard} {share}. {advice} {DEFERENCE}", criterion.name)
    if dose >= 50:
        return Verdict(
            "caution", f"{heard} {share}. Turn down or take breaks. {DEFERENCE}", criterion.name
        )
    return Verdict("ok", f"{heard} {share}. {DEFERENCE}", criterion.name)


def _duration(minutes: float) -> str:
    if minutes < 1:
        return f"{60 * minutes:.0f} s"
    if minutes < 90:
        return f"{minutes:.0f} min"
    return f"{minutes / 60:.1f} h"
