"""A list of units: a line whose tag a unit carries already changes that unit."""

from dataclasses import replace

from gear.equipment.lists.columns import UNIT_COLUMNS, UNIT_HEAD
from gear.equipment.models import Category, GearModel, Unit
from gear.lists.guesses import Guesses
from gear.lists.plan import Line, Plan, Row, in_words, read_facts, read_list

NEEDED = ("tag",)
MODEL, SUPPLY = ("maker", "model"), "supply"


def plan_units(text: str, *, lock: bool = False) -> Plan:
    """Three queries at most, however long the list. lock: hold the rows until the transaction ends."""
    plan = Plan()
    lines = read_list(text, plan, headings=UNIT_HEAD, needed=NEEDED)
    if lines:
        _UnitsPlan(plan, lock).read(lines)
    plan.problems.sort(key=lambda problem: problem.line)
    return plan


class _UnitsPlan:
    """Works out one plan; knows the units and what earlier lines said."""

    def __init__(self, plan: Plan, lock: bool):
        units = Unit.objects.select_for_update(of=("self",)) if lock else Unit.objects.all()
        self.plan = plan
        self.models = {(model.maker, model.name): model for model in GearModel.objects.all()}
        self.units = {unit.asset_tag: unit for unit in units.select_related("model", "supply")}
        self.guesses = Guesses([str(model) for model in self.models.values()])
        self.lines: dict[str, int] = {}

    def read(self, lines: list[Line]) -> None:
        read = []
        for line in lines:
            tag = line.cells.get("tag", "")
            if tag in self.lines:
                said = f"Line {self.lines[tag]} has this tag already."
                self.plan.refuse(line.number, "tag", tag, said)
                continue
            self.lines[tag] = line.number
            read.append((line, self._row(line, self.units.get(tag))))
        # Supplies last, since a line may name one that another line of the list makes.
        self.units |= {row.thing.asset_tag: row.thing for _, row in read}
        self.plan.rows = [self._with_supply(row, line) for line, row in read]

    @staticmethod
    def _is_supply(unit: Unit) -> bool:
        return bool(unit.model_id) and unit.model.category == Category.SUPPLY

    def _row(self, line: Line, known: Unit | None) -> Row:
        unit = known or Unit()
        changes = (*read_facts(unit, line, UNIT_COLUMNS, self.plan), *self._model(unit, line))
        return Row(line.number, unit, known is None, changes, is_first=self._is_supply(unit))

    def _model(self, unit: Unit, line: Line) -> list[str]:
        """Give the unit the model that the line names; what that changes, in words."""
        is_new, said = unit._state.adding, [line.cells.get(heading) for heading in MODEL]
        if said == [None, None] and not is_new:
            return []
        model = self.models.get(tuple(said))
        if model is None:
            named = " ".join(filter(None, said))
            self.plan.refuse(line.number, "model", named, self._no_such_model(said, named))
            return []
        before = "" if is_new else str(unit.model)
        unit.model = model
        return [] if before == str(model) else [in_words("model", before, str(model), unit)]

    def _no_such_model(self, said: list[str | None], named: str) -> str:
        if None in said:
            return "A model is given by two columns, maker and model."
        if not all(said):
            return "Give the unit’s model in the columns maker and model."
        return f"There is no such model: import the models first.{self.guesses.meant(named)}"

    def _with_supply(self, row: Row, line: Line) -> Row:
        unit = row.thing
        if SUPPLY not in line.cells:
            return row
        tag = line.cells[SUPPLY]
        supply, problem = self._supply(unit, tag)
        if problem:
            self.plan.refuse(line.number, SUPPLY, tag, problem)
            return row
        before = unit.supply.asset_tag if unit.supply else ""
        unit.supply = supply
        changes = () if before == tag else (in_words(SUPPLY, before, tag, unit),)
        return replace(row, changes=row.changes + changes)

    def _supply(self, unit: Unit, tag: str) -> tuple[Unit | None, str]:
        """The unit of that tag, or what speaks against it."""
        supply = self.units.get(tag)
        if not tag:
            return None, ""
        if supply is None:
            return None, "No unit has this tag, neither here nor in this list."
        if supply is unit:
            return None, "A unit cannot be its own supply."
        if supply.model_id is None:  # its own line says what is wrong
            return None, ""
        if supply.model.category != Category.SUPPLY:
            return None, f"{supply} is not a microphone supply: give one that is."
        if self._is_supply(unit):
            return None, "A microphone supply needs no other: leave this empty."
        return supply, ""
