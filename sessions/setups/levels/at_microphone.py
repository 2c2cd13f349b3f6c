"""How loud the source is where the microphone stands: by its distance, its angle and its pattern."""

import math

from gear.audio.levels import distance_db
from gear.audio.patterns import Pattern, pattern_named
from gear.audio.values import setting_text
from gear.panels.models import Meaning
from sessions.setups.models import Placement, Revision

#: What is done where a pattern tells nothing: the loudest it can be, so that nothing clips unsaid.
AS_STRAIGHT_ON = "Its level is counted as straight on."


def spl_at_microphone(revision: Revision) -> tuple[float | None, list[str]]:
    """The source's level as the microphone hears it: 6 dB less at twice the distance, and from the
    side less by its pattern."""
    if revision.source_spl_db is None:
        return None, []
    missing: list[str] = []
    placement = getattr(revision, "placement", None) or Placement()
    spl = float(revision.source_spl_db) + _off_axis_db(revision, placement, missing)
    if revision.source_distance_cm is None:
        return spl, missing
    if not placement.distance_cm:
        return spl, [*missing, "The microphone’s distance is not logged."]
    return spl + distance_db(
        float(revision.source_distance_cm), float(placement.distance_cm)
    ), missing


def _off_axis_db(revision: Revision, placement: Placement, missing: list[str]) -> float:
    """By the textbook's pattern; counted as straight on, and said, where there is none to go by."""
    if not placement.angle_deg:
        return 0.0
    written = placement.pattern or _switched_pattern(revision)
    pattern = pattern_named(written)
    gain = pattern.gain_db(float(placement.angle_deg)) if pattern else None
    if gain is not None and math.isfinite(gain):
        return gain
    missing.append(f"{_why_not_reckoned(written, pattern)} {AS_STRAIGHT_ON}")
    return 0.0


def _why_not_reckoned(written: str, pattern: Pattern | None) -> str:
    if not written:
        return "The microphone’s pattern is not logged."
    if pattern is None:
        return f"The pattern “{written}” is not known."
    if pattern.pressure is None:
        return f"What a {pattern.name.lower()} pattern takes off at the side is not reckoned."
    return "The microphone stands with its null to the source."


def _switched_pattern(revision: Revision) -> str:
    """As a switch of the microphone or of its supply is logged; empty where none is."""
    for stage in revision.stages.all():
        for control in stage.controls_for(Meaning.PATTERN):
            value = stage.setting(control)
            if value is not None:
                return setting_text(value, control.dial(), control.unit)
    return ""
