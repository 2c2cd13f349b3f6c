"""What is engraved on the panels of a sheet, in words: on paper no knob has room for its figures."""

from collections.abc import Iterable
from dataclasses import dataclass

from gear.panels.models import Control
from gear.panels.reading import marks_in_words
from sessions.setups.models import Revision


@dataclass(frozen=True)
class EngravedPanel:
    """A model, which version of its panel, and by control the figures at its marks."""

    model: str
    version: int | None
    controls: tuple[tuple[str, str], ...]


def engraved_panels(revisions: Iterable[Revision]) -> tuple[EngravedPanel, ...]:
    """Each once, in the order of the sheet. No query for revisions loaded `with_stages`."""
    found: dict[tuple[str, int | None], EngravedPanel] = {}
    for revision in revisions:
        if amplifier := revision.hears_amplifier:
            _add(found, f"{amplifier.model}", None, revision.source_facts.controls())
        for stage in revision.stages.all():
            if stage.panel:
                model = f"{stage.facts.unit.model}"
                _add(found, model, stage.panel.version, stage.controls())
    return tuple(panel for panel in found.values() if panel.controls)


def _add(found: dict, model: str, version: int | None, controls: Iterable[Control]) -> None:
    if (model, version) not in found:
        said = ((_name(control), marks_in_words(control)) for control in controls)
        found[model, version] = EngravedPanel(
            model, version, tuple((name, words) for name, words in said if words)
        )


def _name(control: Control) -> str:
    """With its group, where the label alone may stand twice on a panel."""
    group = f"{control.group} "
    is_said = not control.group or control.label.startswith(group)
    return control.label if is_said else f"{group}{control.label}"
