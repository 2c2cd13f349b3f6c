from collections.abc import Sequence

from django.contrib.auth.models import AbstractBaseUser

from gear.acting import action, set_facts
from gear.editing.versions import claim_version
from gear.equipment.models import GearModel
from gear.panels.models import Control, Panel

LAST_PLACE = 10_000  # behind all that a panel has


@action
def revise_panel(
    panel: Panel, *, controls: Sequence[Control], by: AbstractBaseUser, version: int | None = None
) -> Panel:
    """Make these controls, in this order, the current panel of the model, and return that panel.

    An open panel is changed in place. A fixed one stays as it is: the controls go on the next
    version. A model without a panel is given as an unsaved `Panel(model=model)`. `version` is the
    model's that the editor saw, None where nobody edits; raises EditedMeanwhile.
    """
    model = GearModel.objects.select_for_update().get(pk=panel.model_id)
    claim_version(model, model.version if version is None else version)
    current = model.panels.select_for_update().order_by("-version").first()
    if current and _same(current, controls):
        return current
    target = _open_version(model, current)
    _write(controls, target)
    _note(model, target)
    return target


def _same(panel: Panel, controls: Sequence[Control]) -> bool:
    return [control.facts() for control in panel.controls.all()] == [
        control.facts() for control in controls
    ]


def _open_version(model: GearModel, current: Panel | None) -> Panel:
    if current and not current.is_fixed:
        return current
    return Panel.objects.create(model=model, version=current.version + 1 if current else 1)


def _write(controls: Sequence[Control], panel: Panel) -> None:
    """A control that was there, by its key, stays the same row, and is left alone where nothing of it
    changes, so that the history says what did."""
    wanted = {control.key: (number, control) for number, control in enumerate(controls, start=1)}
    there = {control.key: control for control in panel.controls.all()}
    for key in there.keys() - wanted.keys():
        there.pop(key).delete()
    moved = [key for key, old in there.items() if old.position != wanted[key][0]]
    for key in moved:  # no two may share a place, so all that move wait behind the last
        place = LAST_PLACE + wanted[key][0]
        Control.objects.filter(pk=there[key].pk).update(position=place)
    for key, (number, control) in wanted.items():
        old = there.get(key) or Control(panel=panel)
        if old.pk is None or key in moved or old.facts() != control.facts():
            set_facts(old, position=number, **control.facts())
            old.save()


def _note(model: GearModel, panel: Panel) -> None:
    """Who changed the controls, and when, stands in the history of the model."""
    model._change_reason = f"Controls of panel {panel.version}"
    model.save()
