from collections.abc import Iterator

from sessions.setups.models import Orientation, Revision
from sessions.setups.warnings.warning import Warning


def hung_upside_down(revision: Revision) -> Iterator[Warning]:
    placement = getattr(revision, "placement", None)
    if placement and placement.orientation == Orientation.HUNG:
        yield Warning(
            "caution",
            "The microphone hangs upside down.",
            "Fix its cable first, then hang it; secure it and the stand against falling, with "
            "nobody underneath while it goes up.",
            is_safety=True,
        )
