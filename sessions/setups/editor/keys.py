from collections import Counter
from collections.abc import Iterable

from sessions.setups.models import Stage


def stage_keys(stages: Iterable[Stage]) -> dict[str, Stage]:
    """Stages by a key that outlives copies, moves and additions: the unit, and for a unit that
    stands in the chain more than once, which of its places it is."""
    found, places = {}, Counter()
    for stage in stages:
        places[stage.unit_id] += 1
        place = places[stage.unit_id]
        found[f"{stage.unit_id}" if place == 1 else f"{stage.unit_id}x{place}"] = stage
    return found
