"""Which unit can stand in for a stage: itself, another of its model, or a substitute of its kind."""

from collections.abc import Collection
from dataclasses import dataclass

from gear.equipment.models import Unit, UnitState
from gear.panels.models import Control, Panel
from sessions.recall.rebuilds.beyond import beyond
from sessions.recall.sheet.wanted import WantedChain, WantedStage
from sessions.setups.controls.matching import match_settings

ITSELF = "The unit itself"
SAME_MODEL = "Others of the same model"
SUBSTITUTE = "Substitutes"


@dataclass(frozen=True)
class Candidate:
    """`beyond`: what it would do otherwise, by how much; remarks: what else to know of it; unmatched:
    what of the settings it can't take."""

    unit: Unit
    how: str
    beyond: tuple[str, ...]
    remarks: tuple[str, ...]
    unmatched: tuple[str, ...]

    @property
    def in_service(self) -> bool:
        return self.unit.state == UnitState.IN_SERVICE


class Stock:
    """All of the house's units with their open faults, and the current panel of each model."""

    def __init__(self):
        self.units = list(Unit.objects.for_list().with_open_faults())
        self.panels: dict[int, Panel] = {
            panel.model_id: panel
            for panel in Panel.objects.order_by("version").prefetch_related("controls")
        }

    def panel_of(self, unit: Unit) -> Panel | None:
        return self.panels.get(unit.model_id)

    def controls_of(self, unit: Unit) -> list[Control]:
        panel = self.panel_of(unit)
        return list(panel.controls.all()) if panel else []

    def candidates(self, wanted: WantedStage, chain: WantedChain | None = None) -> list[Candidate]:
        """The unit itself whatever became of it; of all others those in service or on the bench.

        The ones that take most of the settings come first within their kind. What they would do
        otherwise is said where the chain is given, in which the stage stood.
        """
        by_model: dict[tuple, tuple[str, ...]] = {}
        found = []
        for unit in self.units:
            how = _how(unit, wanted)
            if how is None or (how != ITSELF and unit.state == UnitState.RETIRED):
                continue
            found.append(self._candidate(unit, how, wanted, chain, by_model))
        order = [ITSELF, SAME_MODEL, SUBSTITUTE]
        return sorted(
            found,
            key=lambda each: (
                order.index(each.how),
                not each.in_service,
                each.unit.asset_tag != wanted.tag,
                len(each.unmatched),
                each.unit.asset_tag,
            ),
        )

    def _candidate(
        self,
        unit: Unit,
        how: str,
        wanted: WantedStage,
        chain: WantedChain | None,
        by_model: dict[tuple, tuple[str, ...]],
    ) -> Candidate:
        matches = match_settings(wanted.logged(), self.controls_of(unit))
        key = unit.model_id, unit.supply_id
        if chain and key not in by_model:
            by_model[key] = tuple(beyond(chain, wanted, unit, self.panels, matches))
        return Candidate(
            unit=unit,
            how=how,
            beyond=by_model.get(key, ()),
            remarks=tuple(self._remarks(unit, how, wanted)),
            unmatched=tuple(match.problem for match in matches if match.problem),
        )

    def _remarks(self, unit: Unit, how: str, wanted: WantedStage):
        if unit.state != UnitState.IN_SERVICE:
            yield f"{unit.get_state_display().lower()}"
        if unit.open_fault_count:
            plural = "" if unit.open_fault_count == 1 else "s"
            yield f"{unit.open_fault_count} open fault{plural}"
        panel = self.panel_of(unit)
        version = panel.version if panel else None
        if how != SUBSTITUTE and version != wanted.panel_version:
            yield f"its panel is version {version or 'none'}, logged was {wanted.panel_version or 'none'}"
        if unit.supply and unit.supply.state != UnitState.IN_SERVICE:
            yield f"its supply {unit.supply.asset_tag} is {unit.supply.get_state_display().lower()}"
        if unit.note:
            yield unit.note


def _how(unit: Unit, wanted: WantedStage) -> str | None:
    if unit.pk == wanted.unit_id:
        return ITSELF
    if wanted.is_of(unit.model):
        return SAME_MODEL
    return SUBSTITUTE if unit.model.category == wanted.category else None


def fate_of(wanted: WantedStage, candidates: list[Candidate]) -> str:
    """What became of the unit that was used."""
    itself = next((each for each in candidates if each.how == ITSELF), None)
    if itself is None:
        return "another studio’s" if wanted.unit_id is None else "gone"
    return "still here" if itself.in_service else itself.unit.get_state_display().lower()


def suggested(candidates: list[Candidate], spoken_for: Collection[int] = ()) -> Unit | None:
    """The unit itself or another of its model, if one is in service, rather one that no other stage
    has (`spoken_for`): the sides of a pair want one each. A substitute is chosen by hand."""
    fit = [each for each in candidates if each.in_service and each.how != SUBSTITUTE]
    fit.sort(key=lambda each: each.how != ITSELF and each.unit.pk in spoken_for)
    return fit[0].unit if fit else None
