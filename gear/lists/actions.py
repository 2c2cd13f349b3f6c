"""Import a list: exactly what was shown, all of it or nothing."""

from collections.abc import Callable

from gear.acting import action
from gear.editing.versions import claim_version
from gear.lists.plan import Plan, Row


class NotAsShown(Exception):
    """What the list would do now is not what was shown: it, or what is there, changed meanwhile."""

    def __init__(self):
        super().__init__(
            "The list, or what is here, changed since the preview, so nothing was imported. "
            "This is what it would do now."
        )


@action
def import_list(plan_of: Callable[..., Plan], text: str, *, shown: str, by) -> Plan:
    """Make and change what the list says, in one transaction, with its history.

    shown is the fingerprint of the plan that was looked at. Raises NotAsShown when the plan is
    another one by now, or has a problem.
    """
    plan = plan_of(text, lock=True)
    if plan.problems or plan.fingerprint() != shown:
        raise NotAsShown
    for row in sorted(plan.rows, key=lambda row: not row.is_first):
        if row.is_saved:
            _save(row)
    return plan


def _save(row: Row) -> None:
    row.thing._change_reason = f"Imported from a list, line {row.line}"
    if not row.is_new:
        claim_version(row.thing, row.thing.version)
    row.thing.save()
