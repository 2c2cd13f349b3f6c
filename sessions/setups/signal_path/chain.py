"""One revision of a chain along its signal path, as pages and sheets show it."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from gear.panels.strokes import Drawing
from gear.patchbay.patch_list import PatchList
from sessions.setups.chains.summary import Completeness, completeness
from sessions.setups.grouping.drawing import pair_drawing
from sessions.setups.levels.plan import LevelPlan, level_plan
from sessions.setups.models import GroupFacts, Placement, Revision
from sessions.setups.patching.connections import Connection, connections
from sessions.setups.patching.plugs import CordKey
from sessions.setups.photos.changes import ShownPhoto, chain_photos
from sessions.setups.placement.drawing import placement_drawing
from sessions.setups.placement.facts import placement_facts
from sessions.setups.signal_path.levels import (
    HEADS,
    changed_format,
    converter_text,
    in_columns,
    source_text,
    tone_entry,
    tone_text,
)
from sessions.setups.signal_path.spine import Spine, spine
from sessions.setups.signal_path.units import ControlGroup, StageSheet, control_groups, stage_sheet

NOWHERE: Mapping[int, str] = MappingProxyType({})


@dataclass(frozen=True)
class ChainPath:
    revision: Revision
    levels: LevelPlan
    connections: tuple[Connection, ...]
    placement: Placement | None
    stages: tuple[StageSheet, ...]
    spine: Spine
    photos: tuple[ShownPhoto, ...]
    completeness: Completeness

    @property
    def placement_facts(self) -> list[tuple[str, str]]:
        return placement_facts(self.placement) if self.placement else []

    @property
    def placement_drawing(self) -> Drawing:
        facts = "; ".join(f"{name.lower()}: {said}" for name, said in self.placement_facts)
        return placement_drawing(self.placement, f"Placement from the side, not to scale. {facts}")

    @property
    def group_facts(self) -> GroupFacts | None:
        return self.revision.group_facts

    @property
    def pair_drawing(self) -> Drawing | None:
        facts = self.group_facts
        return pair_drawing(facts) if facts and facts.is_pair else None

    @property
    def amplifier_groups(self) -> tuple[ControlGroup, ...]:
        not_yet_set = self.revision.source_facts.not_yet_set
        return control_groups(self.revision.amplifier_settings(), not_yet_set=not_yet_set)

    @property
    def source_text(self) -> str:
        return source_text(self.revision, self.levels)

    @property
    def tone_text(self) -> str:
        return tone_text(self.revision, tone_entry(self.revision))

    @property
    def logged_by(self) -> str:
        """Whoever made the revision; empty where that is not known here."""
        return f"{self.revision.created_by}" if self.revision.created_by_id else ""

    @property
    def converter_text(self) -> str:
        return converter_text(self.levels)

    @property
    def level_heads(self) -> str:
        return in_columns(HEADS)

    @property
    def changed_format(self) -> str:
        """Whose day's facts these are, where that is to be known; else empty."""
        return changed_format(self.revision)


def chain_path(
    revision: Revision,
    patch_list: PatchList,
    cord_numbers: Mapping[CordKey, int],
    *,
    leads: Mapping[int, str] = NOWHERE,
) -> ChainPath:
    """Reads a revision loaded `with_stages`, patched as the list says, and costs no query. `leads`: by
    position, where what feeds nothing returns."""
    levels = level_plan(revision)
    stages = tuple(map(stage_sheet, levels.stages))
    made = tuple(connections(revision))
    return ChainPath(
        revision=revision,
        levels=levels,
        connections=made,
        placement=getattr(revision, "placement", None),
        stages=stages,
        spine=spine(stages, made, patch_list, cord_numbers, leads),
        photos=tuple(chain_photos(revision)),
        completeness=completeness(revision),
    )
