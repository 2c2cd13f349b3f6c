from collections.abc import Iterator

from gear.equipment.cautions import LIFTING
from sessions.setups.models import Orientation, Revision
from sessions.setups.warnings.warning import Warning


def hung_upside_down(revision: Revision) -> Iterator[Warning]:
    placement = getattr(revision, "placement", None)
    if placement and placement.orientation == Orientation.HUNG:
        yield Warning(
            "caution",
            "The microphone hangs upside down.",
            LIFTING.text,
            is_safety=True,
        )
