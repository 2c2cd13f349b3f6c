"""A rebuilt chain as it stands now, for the rules that ask a chain's stages."""

from gear.panels.models import Panel
from sessions.recall.imported.shown.things import related
from sessions.recall.rebuilds.lines import ChainChecklist, StageLine
from sessions.recall.rebuilds.patching import as_stage
from sessions.setups.models import Stage


def standing_stages(chain: ChainChecklist) -> list[Stage]:
    """Its units in signal order, those that are left out apart, as stages that are never saved: each control
    as it was set, or as it is wanted where nobody set it yet."""
    return [_stage(line) for line in chain.in_use]


def _stage(line: StageLine) -> Stage:
    stage = as_stage(line)
    # Of a unit from outside there is none: its controls are the sheet’s.
    stage.panel = Panel(pk=line.step.panel_id or -line.step.pk)
    related(stage.panel, controls=(each.control for each in line.controls))
    stage.settings = {
        each.control.key: value
        for each in line.controls
        if (value := each.set_to if each.is_set else each.wanted) is not None
    }
    return stage
