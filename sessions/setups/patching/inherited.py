"""Which jack another unit is patched at in the place of one: a swap, a copy, a rebuild."""

from gear.patchbay.models import PatchPoint


def inherited_jack(
    standing: PatchPoint | None, *, unit_id: int | None, wired: PatchPoint | None
) -> PatchPoint | None:
    """A jack that is wired to the unit before, `unit_id`, gives way to the one that the new unit is
    wired to. Any other belongs to the place, whoever stands there: the line of a wall box that the
    microphone is plugged into, a jack of a mult."""
    return standing if standing and standing.unit_id != unit_id else wired
