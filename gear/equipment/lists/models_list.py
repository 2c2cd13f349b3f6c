"""A list of models: a line whose maker and model exist already changes that one."""

from gear.equipment.lists.columns import MODEL_COLUMNS, MODEL_HEAD
from gear.equipment.models import GearModel
from gear.lists.plan import Line, Plan, Row, check, read_facts, read_list

NEEDED = ("maker", "model")


def plan_models(text: str, *, lock: bool = False) -> Plan:
    """Two queries at most, however long the list. lock: hold the rows until the transaction ends."""
    plan = Plan()
    lines = read_list(text, plan, headings=MODEL_HEAD, needed=NEEDED)
    models = GearModel.objects.select_for_update() if lock else GearModel.objects.all()
    known = {(model.maker, model.name): model for model in models} if lines else {}
    lines_by_key: dict[tuple, int] = {}
    for line in lines:
        key = line.cells.get("maker", ""), line.cells.get("model", "")
        if key in lines_by_key:
            plan.refuse(
                line.number, "model", key[1], f"Line {lines_by_key[key]} has this model already."
            )
            continue
        lines_by_key[key] = line.number
        _plan_model(line, known.get(key), plan)
    return plan


def _plan_model(line: Line, known: GearModel | None, plan: Plan) -> None:
    model, problems = known or GearModel(), len(plan.problems)
    changes = read_facts(model, line, MODEL_COLUMNS, plan)
    if len(plan.problems) == problems:
        check(model.clean, line, MODEL_COLUMNS, plan)
    plan.rows.append(Row(line.number, model, known is None, tuple(changes)))
