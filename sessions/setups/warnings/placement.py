"""Where the microphone stands, against what is logged of it elsewhere."""

from collections.abc import Iterator

from gear.audio.patterns import pattern_named
from gear.audio.values import setting_text
from gear.equipment.cautions import LIFTING
from gear.panels.models import Meaning
from sessions.setups.models import Orientation, Revision
from sessions.setups.warnings.warning import Warning


def hung_upside_down(revision: Revision) -> Iterator[Warning]:
    placement = getattr(revision, "placement", None)
    if placement and placement.orientation == Orientation.HUNG:
        yield Warning(
            "caution",
            "The microphone hangs upside down.",
            LIFTING.text,
            is_safety=True,
        )


def pattern_differs(revision: Revision) -> Iterator[Warning]:
    """The placement names one pattern, and a switch of the microphone or of its supply another."""
    placement = getattr(revision, "placement", None)
    placed = pattern_named(placement.pattern) if placement else None
    for stage in revision.stages.all() if placed else ():
        for control in stage.controls_for(Meaning.PATTERN):
            value = stage.setting(control)
            said = "" if value is None else setting_text(value, control.dial(), control.unit)
            switched = pattern_named(said)
            if switched and switched != placed:
                yield Warning(
                    "caution",
                    f"The placement says {placement.pattern.lower()}, and {control.label} of "
                    f"{stage.facts.unit} is logged at {said}.",
                    "Look which of them it is, and log that in both.",
                    stage,
                )


def pop_filter_beyond_source(revision: Revision) -> Iterator[Warning]:
    """Both are measured from the capsule."""
    placement = getattr(revision, "placement", None)
    if not placement or None in (placement.pop_filter_cm, placement.distance_cm):
        return
    if placement.pop_filter_cm >= placement.distance_cm:
        yield Warning(
            "caution",
            f"The pop filter is logged at {placement.pop_filter_cm:g} cm from the capsule, and the "
            f"source at {placement.distance_cm:g} cm: it would not stand between them.",
            "Measure both from the capsule again.",
        )
