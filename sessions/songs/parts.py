"""The parts of a song and how far each is: what is still to record, what a guide is replaced by."""

from collections.abc import Iterable
from dataclasses import dataclass

from sessions.songs.models import Part, PartState, Relation

DONE = (PartState.CHOSEN, PartState.COMPED)


@dataclass(frozen=True)
class PartLine:
    """A part, and the parts that are recorded to replace it."""

    part: Part
    replaced_by: tuple[Part, ...]

    @property
    def key(self) -> str:
        """For a form: which part, and the version that was seen."""
        return f"{self.part.pk}.{self.part.version}"

    @property
    def is_to_record(self) -> bool:
        """A guide or demo is there to be replaced."""
        return not self.part.is_guide and self.part.state == PartState.NOT_RECORDED

    @property
    def is_replaced(self) -> bool:
        """Whether all that replaces it is chosen or comped."""
        return bool(self.replaced_by) and all(part.state in DONE for part in self.replaced_by)

    @property
    def is_to_replace(self) -> bool:
        return (self.part.is_guide or bool(self.replaced_by)) and not self.is_replaced

    @property
    def replacement_in_words(self) -> str:
        """replaced by Lead vocal (chosen); empty for a part that is kept."""
        if not (self.part.is_guide or self.replaced_by):
            return ""
        if not self.replaced_by:
            return "to be replaced, by no part yet"
        by = ", ".join(f"{part} ({part.state.label})" for part in self.replaced_by)
        return f"{'replaced' if self.is_replaced else 'to be replaced'} by {by}"


def to_record(lines: list[PartLine]) -> list[PartLine]:
    return [line for line in lines if line.is_to_record]


def part_lines(parts: Iterable[Part]) -> list[PartLine]:
    """All of a song, loaded `with_state`, in its order."""
    parts = list(parts)
    return [
        PartLine(
            part,
            tuple(
                other
                for other in parts
                if other.relation == Relation.REPLACES and other.related_to_id == part.pk
            ),
        )
        for part in parts
    ]
