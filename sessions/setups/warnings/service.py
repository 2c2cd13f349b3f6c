"""Units that stood in the chain and are on the bench or retired by now."""

from collections.abc import Iterator

from sessions.setups.models import Revision
from sessions.setups.warnings.warning import Warning


def out_of_service(revision: Revision) -> Iterator[Warning]:
    for stage in revision.stages.all():
        if not stage.unit.is_in_service:
            yield Warning(
                "warning",
                f"{stage.facts.unit} is {stage.unit.standing}.",
                "Choose another unit, or return it to service once it is repaired.",
                stage,
            )
