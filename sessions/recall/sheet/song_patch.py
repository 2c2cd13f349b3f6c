"""One patch list for a whole sheet: each cord numbered once, and no jack said to be two things at once.

Chains that stood at different times are patched in lots, one after the other: what one lot breaks or
feeds says nothing of another.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial

from django.utils import timezone
from django.utils.formats import date_format

from gear.patchbay.patch_list import PatchList
from gear.patchbay.wiring import Wiring
from sessions.setups.models import Chain, Revision
from sessions.setups.patching.patch_list import Patching
from sessions.setups.patching.plugs import (
    CordKey,
    Plug,
    PlugLine,
    PlugList,
    cord_key,
    cord_numbers,
    plug_list,
)
from sessions.setups.patching.returns import returns_of
from sessions.setups.patching.together import PatchedTogether, patched_together


@dataclass(frozen=True)
class ChainPlugs:
    """What a chain is patched with among those that stood with it, chains by their numbers on the sheet;
    `leads` says by position where what feeds nothing returns."""

    number: int
    revision: Revision
    patching: Patching
    leads: Mapping[int, str]


@dataclass(frozen=True)
class PatchedLot:
    """Chains of the sheet that stood together, by number, and what was plugged for them. A cord of which
    an earlier lot says all is in `as_above`, not in `plugs`; it is in `patch_list`."""

    chains: tuple[int, ...]
    where: str
    patch_list: PatchList
    plugs: PlugList
    as_above: tuple[PlugLine, ...]


@dataclass(frozen=True)
class SongPatch:
    """`numbers`: of its cords."""

    lots: tuple[PatchedLot, ...]
    numbers: Mapping[CordKey, int]

    @property
    def cords(self) -> list[PlugLine]:
        """Each once, in the order of their numbers."""
        lines = {line.plug.number: line for lot in self.lots[::-1] for line in lot.plugs.cords}
        return [lines[number] for number in sorted(lines)]

    @property
    def direct(self) -> list[PlugLine]:
        """Each once."""
        found = {cord_key(line.plug.link): line for lot in self.lots for line in lot.plugs.direct}
        return list(found.values())

    @property
    def has_microphone_lines(self) -> bool:
        return any(lot.plugs.has_microphone_lines for lot in self.lots)


def song_patch(revisions: Iterable[Revision], wiring: Wiring) -> tuple[SongPatch, list[ChainPlugs]]:
    """The list, and what it is for each chain. Revisions in the order of the sheet, loaded
    `with_stages`; then no query."""
    places = {revision: number for number, revision in enumerate(revisions, 1)}
    chains: dict[Revision, ChainPlugs] = {}
    lots = []
    for together in patched_together(places, wiring):
        in_words = partial(_chains_in_words, _numbers(together, places))
        for revision in together.revisions:
            ours = _chain_plugs(revision, places[revision], together, in_words)
            chains.setdefault(revision, ours)
        plugs = PlugList(
            (), (), clashes=together.patching.clashes, returns=tuple(_returns(together, places))
        )
        lots.append(
            PatchedLot(
                tuple(sorted(places[revision] for revision in together.revisions)),
                _where(together.revisions),
                together.patching.patch_list.with_chains_in_words(in_words),
                plugs,
                (),
            )
        )
    return numbered(lots), [chains[revision] for revision in places]


def numbered(lots: Iterable[PatchedLot]) -> SongPatch:
    """With the lines of their patch lists, each cord under one number."""
    lots = list(lots)
    numbers = cord_numbers(lot.patch_list for lot in lots)
    known: dict[int, tuple] = {}
    found = []
    for lot in lots:
        plugs = plug_list(lot.patch_list, numbers)
        cords = {line.plug.number: _all_of(line.plug) for line in plugs.cords}
        above = tuple(
            line for line in plugs.cords if known.get(line.plug.number) == cords[line.plug.number]
        )
        lines = tuple(line for line in plugs.lines if line not in above)
        more = {"clashes": lot.plugs.clashes, "returns": lot.plugs.returns}
        found.append(replace(lot, plugs=replace(plugs, lines=lines, **more), as_above=above))
        known |= cords
    return SongPatch(tuple(found), numbers)


def chains_in_words(numbers: Iterable[int]) -> str:
    numbers = sorted(numbers)
    return f"chain{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers))}"


def _numbers(together: PatchedTogether, places: Mapping[Revision, int]) -> dict[int, list[int]]:
    found = defaultdict(list)
    for revision in together.revisions:
        found[revision.chain_id].append(places[revision])
    return found


def _chains_in_words(numbers: Mapping[int, list[int]], chains: Iterable[Chain]) -> str:
    return chains_in_words(number for chain in chains for number in numbers[chain.pk])


def _chain_plugs(
    revision: Revision, number: int, together: PatchedTogether, in_words
) -> ChainPlugs:
    patching = together.patching.of_chain(revision.chain)
    returns = returns_of(revision, together.patching.patch_list, together.wiring)
    return ChainPlugs(
        number,
        revision,
        replace(patching, patch_list=patching.patch_list.with_chains_in_words(in_words)),
        {each.stage.position: each.words for each in returns},
    )


def _returns(together: PatchedTogether, places: Mapping[Revision, int]) -> Iterator[str]:
    for revision in together.revisions:
        for each in returns_of(revision, together.patching.patch_list, together.wiring):
            yield f"{each.stage.facts.unit.tag} {each.words} (chain {places[revision]})"


def _all_of(plug: Plug) -> tuple:
    """What a line says of its cord, but for the chains that it serves."""
    broken = [(each.upper, each.lower, each.chains) for each in plug.broken]
    return broken, [(tap.upper, tap.lower) for tap in plug.taps], plug.link.ends


def _where(revisions: Iterable[Revision]) -> str:
    """The session, and which of its setups."""
    setups = {revision.chain.setup_id: revision.chain.setup for revision in revisions}
    session = next(iter(setups.values())).session
    names = ", ".join(f"“{setup}”" for setup in setups.values())
    return f"{session}, {date_format(timezone.localtime(session.starts_at))}: {names}"
