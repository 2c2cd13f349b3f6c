"""What the performers of the chosen takes heard."""

from collections.abc import Iterable
from dataclasses import dataclass

from sessions.setups.headphones.listening import HeardMix
from sessions.setups.headphones.models import MixSnapshot
from sessions.setups.models import Revision, Setup
from sessions.takes.models import TakePart


@dataclass(frozen=True)
class HeadphoneSheet:
    """The mixes of a setup as they stood at these takes."""

    setup: Setup
    takes: tuple[TakePart, ...]
    mixes: tuple[HeardMix, ...]


def headphone_sheets(chosen: Iterable, revisions: list[Revision]) -> tuple[HeadphoneSheet, ...]:
    """In the order of the revisions, only where there was a mix; no query.

    `chosen`: ChosenTakes, `through` loaded with what was `heard`.
    """
    heard: dict[MixSnapshot, dict[TakePart, None]] = {}
    for revision in revisions:
        for each in chosen:
            for through in each.through:
                if through.revision_id == revision.pk:
                    heard.setdefault(through.heard, {})[each.part] = None
    setups = {revision.chain.setup_id: revision.chain.setup for revision in revisions}
    return tuple(
        HeadphoneSheet(
            setups[snapshot.setup_id],
            tuple(each.part for each in chosen if each.part in parts),
            tuple(map(HeardMix.from_json, snapshot.mixes)),
        )
        for snapshot, parts in heard.items()
        if snapshot.mixes
    )
