"""The chosen takes: why each is, who performed it, and how it was marked."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Prefetch, QuerySet

from sessions.takes.models import Mark, Take, TakePart, TakeRevision


@dataclass(frozen=True)
class ChosenTake:
    """A part of a take that the recording is made of, why, and what it went through, in order.

    An empty `through` means that nobody documented the chain. `not_settled`: chains that may have stood
    otherwise, since the take was pressed off line and nobody has said how they stood.
    """

    part: TakePart
    why: str
    through: tuple[TakeRevision, ...]
    not_settled: tuple[str, ...] = ()


@dataclass(frozen=True)
class TakeLine:
    """A take once, with its chosen parts, however many tracks they were recorded to."""

    take: Take
    parts: tuple[TakePart, ...]


def chosen_take(part: TakePart) -> ChosenTake:
    reasons = [
        (part.circled, "circled"),
        (part.mark == Mark.MASTER, "marked master"),
        (part.in_comp, "in the comp"),
        (part.punched_into, "punched into"),
    ]
    why = ", ".join(word for holds, word in reasons if holds)
    not_settled = (f"{doubt.revision}" for doubt in part.take.in_doubt.all())
    return ChosenTake(part, why, tuple(part.through()), tuple(not_settled))


def loaded_parts(parts: QuerySet) -> QuerySet[TakePart]:
    """The chosen ones, with all that a sheet says of them."""
    through = TakeRevision.objects.for_list().select_related("heard")
    return (
        parts.chosen()
        .in_order()
        .select_related("take__session", "take__into")
        .prefetch_related(
            Prefetch("take__through", through), "take__in_doubt__revision__chain__source"
        )
    )


def together(takes: Iterable[ChosenTake]) -> list[tuple[ChosenTake, ...]]:
    """Parts of one take that are chosen for the same reason, in one line."""
    passes = defaultdict(list)
    for each in takes:
        passes[each.part.take_id, each.why].append(each)
    return list(map(tuple, passes.values()))


def take_lines(takes: Iterable[ChosenTake]) -> tuple[TakeLine, ...]:
    """In the order in which they are chosen."""
    parts = defaultdict(list)
    for each in takes:
        parts[each.part.take].append(each.part)
    return tuple(TakeLine(take, tuple(chosen)) for take, chosen in parts.items())
