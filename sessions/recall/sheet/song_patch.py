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
    """What a chain is patched with among those that stood with it; `worded` is its patch list with the
    chains by their numbers on the sheet, `leads` says by position where what feeds nothing returns."""

    number: int
    revision: Revision
    patching: Patching
    worded: PatchList
    leads: Mapping[int, str]


@dataclass(frozen=True)
class PatchedLot:
    """Chains of the sheet that stood together, by number, and what was plugged for them. A cord of which
    an earlier lot says all is in `as_above`, by number."""

    chains: tuple[int, ...]
    where: str
    plugs: PlugList
    as_above: tuple[int, ...]


@dataclass(frozen=True)
class SongPatch:
    lots: tuple[PatchedLot, ...]

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


def song_patch(
    revisions: Iterable[Revision], wiring: Wiring
) -> tuple[SongPatch, list[ChainPlugs], dict[CordKey, int]]:
    """The list, what it is for each chain, and the numbers of its cords. Revisions in the order of the
    sheet, loaded `with_stages`; then no query."""
    places = {revision: number for number, revision in enumerate(revisions, 1)}
    found = patched_together(places, wiring)
    said = [partial(_chains_in_words, _numbers(together, places)) for together in found]
    worded = [
        together.patching.patch_list.with_chains_in_words(in_words)
        for together, in_words in zip(found, said, strict=True)
    ]
    numbers = cord_numbers(worded)
    chains: dict[Revision, ChainPlugs] = {}
    lots, known = [], {}
    for together, in_words, patch_list in zip(found, said, worded, strict=True):
        for revision in together.revisions:
            ours = _chain_plugs(revision, places[revision], together, in_words)
            chains.setdefault(revision, ours)
        lots.append(_lot(together, places, plug_list(patch_list, numbers), known))
        known |= {line.plug.number: _all_of(line.plug) for line in lots[-1].plugs.cords}
    return SongPatch(tuple(lots)), [chains[revision] for revision in places], numbers


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
        patching,
        patching.patch_list.with_chains_in_words(in_words),
        {each.stage.position: each.words for each in returns},
    )


def _lot(
    together: PatchedTogether,
    places: Mapping[Revision, int],
    plugs: PlugList,
    known: Mapping[int, tuple],
) -> PatchedLot:
    as_above = [
        line.plug.number
        for line in plugs.cords
        if known.get(line.plug.number) == _all_of(line.plug)
    ]
    lines = (line for line in plugs.lines if line.plug.number not in as_above)
    return PatchedLot(
        tuple(sorted(places[revision] for revision in together.revisions)),
        _where(together.revisions),
        replace(
            plugs,
            lines=tuple(lines),
            clashes=together.patching.clashes,
            returns=tuple(_returns(together, places)),
        ),
        tuple(as_above),
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
