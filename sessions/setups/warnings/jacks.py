"""Jacks that a unit names and no connection of the chain uses; of the others the patch list's own
clashes speak (`gear/patchbay/clashes.py`)."""

from collections.abc import Iterator

from gear.patchbay.models import Side
from sessions.setups.models import Revision
from sessions.setups.patching.connections import connections
from sessions.setups.warnings.warning import Warning


def jack_leads_nowhere(revision: Revision) -> Iterator[Warning]:
    """A mult from which nothing is taken, or an input entered as an output, at an end of the chain."""
    made = connections(revision)
    feeding = {each.source.position for each in made}
    fed = {each.destination.position for each in made if each.destination}
    for stage in revision.stages.all():
        out, into = stage.patch_out, stage.patch_in
        if out and stage.position not in feeding:
            if out.mult:
                yield Warning(
                    "caution",
                    f"{stage.facts.unit} goes to mult {out.mult} of {out.bay}, and no copy of it goes "
                    "on from there.",
                    "Name what the copies feed: the next unit, or the chain’s destination input.",
                    stage,
                )
            elif out.side == Side.RETURN:
                yield _wrong_side(stage, f"{out} is an input, but entered as an output")
        if into and into.side == Side.SEND and not into.mult and stage.position not in fed:
            yield _wrong_side(stage, f"{into} is a source, but entered as an input")


def _wrong_side(stage, found: str) -> Warning:
    return Warning(
        "warning", f"{found} ({stage.facts.unit}).", "Choose the jack on the other row.", stage
    )
