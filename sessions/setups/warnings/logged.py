"""What was not logged."""

from collections.abc import Iterator

from gear.equipment.models import Category
from gear.panels.models import Meaning
from sessions.setups.chains.summary import completeness
from sessions.setups.models import Revision
from sessions.setups.warnings.warning import Warning

#: So many are named one by one.
_NAMED = 6


def gain_not_logged(revision: Revision) -> Iterator[Warning]:
    """A note on the first gain control after a microphone, while it has no setting."""
    stages = list(revision.stages.all())
    if not stages or stages[0].facts.unit.model.category != Category.MICROPHONE:
        return
    for stage in stages[1:]:
        for control in stage.controls_for(Meaning.GAIN):
            if control.key in stage.photographed:
                yield Warning(
                    "note",
                    f"{control.label} of {stage.facts.unit} is photographed, not logged.",
                    "Read it off the photograph and log it: levels are not calculated without it.",
                    stage,
                )
            elif stage.setting(control) is None:
                yield Warning(
                    "note",
                    f"{control.label} of {stage.facts.unit} is not logged.",
                    "Set it by the meter and log it: levels are not calculated without it.",
                    stage,
                )
            return


def controls_not_logged(revision: Revision) -> Iterator[Warning]:
    """How much of the chain could not be set up again."""
    done = completeness(revision)
    missing = [
        f"{control.label} of {stage.facts.unit.tag}"
        for stage in revision.stages.all()
        for control in stage.controls()
        if stage.setting(control) is None and control.key not in stage.photographed
    ]
    if done.photographed:
        controls = "control stands" if done.photographed == 1 else "controls stand"
        yield Warning(
            "note",
            f"{done.photographed} {controls} on photographs only.",
            "Whoever sets the chain up again must read them there: log them while they can be seen.",
        )
    if done.copied:
        yield Warning(
            "note",
            f"{done.copied} control{'s are' if done.copied > 1 else ' is'} copied, not yet set.",
            "Set them, or confirm each unit once it stands as it was copied.",
        )
    if not missing:
        return
    more = f" and {len(missing) - _NAMED} more" if len(missing) > _NAMED else ""
    yield Warning(
        "note",
        f"{done}: the rest could not be set up again.",
        f"Log {', '.join(missing[:_NAMED])}{more}.",
    )
