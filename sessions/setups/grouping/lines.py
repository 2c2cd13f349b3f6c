"""The pairs and groups of a setup in words and drawn."""

from collections.abc import Iterable
from dataclasses import dataclass

from gear.panels.strokes import Drawing
from sessions.setups.grouping.drawing import group_drawing, pair_drawing
from sessions.setups.models import ChainGroup, GroupFacts, Revision


@dataclass(frozen=True)
class GroupLine:
    """A pair or a group; without a drawing where nobody measured it."""

    group: ChainGroup
    words: str
    drawing: Drawing | None


def groups_of(groups: Iterable[ChainGroup], revisions: Iterable[Revision]) -> list[GroupLine]:
    """Each with those of the revisions that belong to it."""
    return [
        _line(group, [each for each in revisions if each.chain.group_id == group.pk])
        for group in groups
    ]


def _line(group: ChainGroup, revisions: list[Revision]) -> GroupLine:
    facts = GroupFacts.of_group(group)
    chains = ", ".join(str(revision.chain) for revision in revisions) or "no chain yet"
    drawing = pair_drawing(facts) if group.is_pair else group_drawing(group.name, revisions)
    return GroupLine(group, f"{facts.arranged}; {chains}", drawing)
