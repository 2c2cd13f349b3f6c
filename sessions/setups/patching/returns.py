"""Where the output of an effect, or of what stands beside the recorded path, leads if it feeds nothing on
record: it returns somewhere."""

from collections.abc import Iterator
from dataclasses import dataclass

from gear.equipment.models import Category
from gear.patchbay.models import Side
from gear.patchbay.patch_list import PatchList
from gear.patchbay.wiring import Jack, Wiring
from sessions.setups.models import Revision, Stage
from sessions.setups.patching.connections import connections

#: What a signal may end in, heard or recorded.
ENDS = (Category.CONVERTER, Category.CHANNEL, Category.HEADPHONES, Category.AMPLIFIER)


@dataclass(frozen=True)
class Return:
    """`into`: the input that the normal of its jack feeds."""

    stage: Stage
    out: Jack | None
    into: Jack | None

    @property
    def words(self) -> str:
        if self.into:
            return f"returns by the normal {self.out.name} {self.out.label} → {self.into}"
        if self.out:
            return f"its output {self.out} leads nowhere that is logged"
        return "where its output returns is not logged"


def returns_of(revision: Revision, patch_list: PatchList, wiring: Wiring) -> Iterator[Return]:
    """Of a revision loaded `with_stages`, patched as the list says."""
    feeding = {made.source.position for made in connections(revision)}
    plugged = {jack.pk for cord in patch_list.cords for jack in cord.jacks}
    normals = {normal.source: normal for normal in wiring.normals if normal.holds(plugged)}
    for stage in revision.stages.all():
        category = stage.unit.model.category
        is_beside = not stage.is_printed or category == Category.EFFECT
        if stage.position in feeding or category in ENDS or not is_beside:
            continue
        named = stage.facts.patch_out
        wired = wiring.of_unit(stage.unit_id, Side.SEND, stage.channel)
        out = named or (wired[0] if len(wired) == 1 else None)
        normal = normals.get(out.pk) if out else None
        yield Return(stage, out, wiring.by_key[normal.destination] if normal else None)
