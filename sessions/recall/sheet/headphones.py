"""What the performers of the chosen takes heard."""

from collections.abc import Iterable
from dataclasses import dataclass

from sessions.setups.headphones.listening import HeardMix
from sessions.setups.headphones.models import MixSnapshot
from sessions.setups.models import Revision, Setup
from sessions.takes.models import Take, TakeRevision


@dataclass(frozen=True)
class HeadphoneSheet:
    """The mixes of a setup as they stood at these takes."""

    setup: Setup
    takes: tuple[Take, ...]
    mixes: tuple[HeardMix, ...]


def headphone_sheets(
    takes: list[Take], revisions: list[Revision], through: Iterable[TakeRevision]
) -> tuple[HeadphoneSheet, ...]:
    """In the order of the revisions, only where there was a mix; a constant number of queries.

    `through`: by which revisions the takes went, with `heard` loaded.
    """
    setups = {revision.pk: revision.chain.setup for revision in revisions}
    heard = _heard(setups, through)
    sheets = [
        HeadphoneSheet(
            setup,
            tuple(take for take in takes if take.pk in keys),
            tuple(map(HeardMix.from_json, snapshot.mixes)),
        )
        for (setup, snapshot), keys in heard.items()
    ]
    return tuple(sheet for sheet in sheets if sheet.mixes)


def _heard(
    setups: dict[int, Setup], through: Iterable[TakeRevision]
) -> dict[tuple[Setup, MixSnapshot], set[int]]:
    """The keys of the takes by what was heard; setups stand by revision, in order."""
    found: dict[tuple[Setup, MixSnapshot], set[int]] = {}
    order = list(setups)
    for each in sorted(through, key=lambda each: (order.index(each.revision_id), each.take_id)):
        found.setdefault((setups[each.revision_id], each.heard), set()).add(each.take_id)
    return found
