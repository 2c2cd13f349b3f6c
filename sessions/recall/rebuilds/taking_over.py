"""A model of the sheet that the house has none of, taken over into the gear: model, panel and a unit."""

from dataclasses import dataclass

from gear.equipment.models import GearModel, Unit
from gear.panels.models import Control, Panel
from sessions.recall.sheet.wanted import WantedStage


@dataclass(frozen=True)
class Taken:
    """The model that the gear has of it, if any, the panel that a unit of it would get, and the keys of
    the controls that are the same on it as on the sheet."""

    model: GearModel | None
    panel: Panel | None
    same: frozenset[str]

    @property
    def is_new(self) -> bool:
        return self.model is None

    @property
    def brings_panel(self) -> bool:
        """A panel that there is in the gear stays as the house has it."""
        return self.panel is None


def taken_of(wanted: WantedStage) -> Taken:
    model = _model_here(wanted)
    panel = model.current_panel() if model else None
    here = {control.key: control.facts() for control in panel.controls.all()} if panel else {}
    same = {
        control.key
        for control in wanted.controls
        if panel is None or here.get(control.key) == control.facts()
    }
    return Taken(model, panel, frozenset(same))


def unit_of(
    wanted: WantedStage, taken: Taken, *, channels: int, asset_tag: str, serial_number: str
) -> Unit:
    """Make it, with what the gear lacks. Raises ValidationError where the gear has no room for what
    the sheet says. Call inside an action."""
    model = taken.model or _saved(GearModel(**model_facts(wanted) | {"channels": channels}))
    if taken.brings_panel and wanted.controls:
        panel = _saved(Panel(model=model, version=1))
        for number, control in enumerate(wanted.controls, start=1):
            _saved(Control(panel=panel, position=number, **control.facts()))
    return _saved(Unit(model=model, asset_tag=asset_tag, serial_number=serial_number))


def model_facts(wanted: WantedStage) -> dict:
    """Those that a model of ours has; another studio's sheet may say more of it."""
    names = {field.name for field in GearModel._meta.get_fields()}
    return {name: value for name, value in wanted.model_facts.items() if name in names}


def _model_here(wanted: WantedStage) -> GearModel | None:
    if wanted.model_id:
        return GearModel.objects.get(pk=wanted.model_id)
    facts = wanted.model_facts
    same = GearModel.objects.filter(maker__iexact=facts["maker"], name__iexact=facts["name"])
    return same.first()


def _saved(thing):
    thing.full_clean()
    thing.save()
    return thing
