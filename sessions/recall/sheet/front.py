"""The page for the whole song, before its chains: what is needed, what is switched on and when, and what
several chains share."""

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from gear.equipment.models import Category, Unit
from gear.equipment.phantom import ruling_at
from gear.panels.models import Meaning
from gear.patchbay.patch_list import Link
from sessions.recall.sheet.song_patch import PatchedLot, SongPatch, chains_in_words
from sessions.setups.chains.phantom import line_of, place_of
from sessions.setups.models import Revision, Stage
from sessions.setups.models.snapshot import UnitFacts
from sessions.setups.patching.plugs import PlugLine

#: Revisions with their numbers on the sheet.
Numbered = Iterable[tuple[int, Revision]]


@dataclass(frozen=True)
class NeededUnit:
    """A unit, the chains that it stands in, and how long it must be on before it is used.

    `feeds` are the microphones whose cables are plugged into it before it is switched on; `standing` is
    today's, empty where nobody knows it here.
    """

    unit: UnitFacts
    chains: tuple[int, ...]
    warm_up_minutes: int
    feeds: tuple[UnitFacts, ...]
    standing: str = ""
    is_in_service: bool = True

    @property
    def kind(self) -> str:
        return Category(self.unit.model.category).label

    @property
    def has_a_switch(self) -> bool:
        """A microphone is switched on at its supply or by phantom power."""
        return self.unit.model.category != Category.MICROPHONE


@dataclass(frozen=True)
class CordCount:
    """So many of one length, where they are plugged; None: it was not logged."""

    where: str
    length_cm: int | None
    count: int

    def __str__(self) -> str:
        length = f" of {self.length_cm} cm" if self.length_cm else ""
        return f"{self.count}{length}{f' at {self.where}' if self.where else ''}"


@dataclass(frozen=True)
class Shared:
    """What several chains have in common, in words."""

    what: str
    chains: str
    words: str = ""


def needed_units(revisions: Numbered) -> list[NeededUnit]:
    """In the order in which they are switched on: what must warm up first, then as the signal goes,
    what is only monitored last. A microphone stands before the supply that it is plugged into."""
    revisions = list(revisions)
    units: dict[int, UnitFacts] = {}
    numbers, minutes = defaultdict(dict), defaultdict(int)
    places, feeds = {}, defaultdict(dict)
    for number, revision in revisions:
        if amplifier := revision.hears_amplifier:
            units[amplifier.pk] = amplifier
            numbers[amplifier.pk][number] = None
            minutes[amplifier.pk] = amplifier.model.warm_up_minutes
            places.setdefault(amplifier.pk, (False, 0))
        for stage in revision.stages.all():
            unit, supply = stage.facts.unit, stage.facts.unit.supply
            pair = [unit, supply] if supply else [unit]
            warm_up = max(each.model.warm_up_minutes for each in pair)
            for behind, each in enumerate(pair):
                units[each.pk] = replace(each, channel=None)
                numbers[each.pk][number] = None
                minutes[each.pk] = max(minutes[each.pk], warm_up)
                place = not stage.is_printed, stage.position + behind / 2
                places.setdefault(each.pk, place)
            if supply:
                feeds[supply.pk][unit] = None
    today = _today(revision for _, revision in revisions)
    return [
        NeededUnit(
            units[key],
            tuple(numbers[key]),
            minutes[key],
            tuple(feeds[key]),
            today[key].standing if key in today else "",
            key not in today or today[key].is_in_service,
        )
        for key in sorted(units, key=lambda key: (-minutes[key], *places[key]))
    ]


def units_by_kind(units: Iterable[NeededUnit]) -> str:
    """3 × microphone, 1 × DI box …"""
    counts = Counter(needed.kind for needed in units)
    return ", ".join(f"{count} × {_within(kind)}" for kind, count in counts.items())


def _within(label: str) -> str:
    """As it stands inside a sentence: an abbreviation keeps its capitals."""
    return label if label[1].isupper() else label[0].lower() + label[1:]


def cord_counts(lines: Iterable[PlugLine]) -> list[CordCount]:
    """By where they are plugged, and by length as far as that was logged."""
    counts = Counter((_where(line.plug.link), line.plug.link.cord_cm) for line in lines)
    places = {place: number for number, (place, _) in enumerate(counts)}
    in_order = sorted(counts, key=lambda key: (places[key[0]], key[1] is None, key[1]))
    return [CordCount(*key, counts[key]) for key in in_order]


def _where(link: Link) -> str:
    """Empty where it goes through no bay."""
    bays = list(dict.fromkeys(jack.bay for jack in link.jacks))
    if len(link.jacks) == 1:
        return f"{bays[0]} to a unit"
    return " to ".join(bays)


def shared_things(revisions: Numbered, patch: SongPatch) -> list[Shared]:
    """What several chains of those that stood together have in common. Phantom switches first, since
    what one chain asks for there harms another."""
    by_number = dict(revisions)
    lines = [line_of(revision) for revision in by_number.values()]
    found: dict[tuple[str, str], dict[str, None]] = defaultdict(dict)
    for kind in (partial(_phantom_switches, lines=lines), _units, _mults, _cords):
        for lot in patch.lots:
            ours = {number: by_number[number] for number in lot.chains}
            for what, words, numbers in kind(lot, ours):
                if len({ours[number].chain_id for number in numbers}) > 1:
                    found[what, words][chains_in_words(numbers)] = None
    return [Shared(what, "; ".join(chains), words) for (what, words), chains in found.items()]


def _phantom_switches(lot: PatchedLot, ours: dict[int, Revision], *, lines) -> Iterator[tuple]:
    """And what the one rule of phantom power says of each, by all that is on the sheet."""
    served: dict[tuple, dict[int, Stage]] = defaultdict(dict)
    for number, revision in ours.items():
        for stage in revision.stages.all():
            if stage.controls_for(Meaning.PHANTOM):
                for bank in place_of(stage).banks:
                    served[bank][number] = stage
    for (_, bank), stages in served.items():
        stage = next(iter(stages.values()))
        model = stage.unit.model
        size, last = model.phantom_bank, min((bank + 1) * model.phantom_bank, model.channels)
        inputs = f", inputs {bank * size + 1} to {last}" if size > 1 else ""
        words = ruling_at(place_of(stage), lines).words
        yield f"48 V switch of {stage.facts.unit.asset_tag}{inputs}", words, tuple(stages)


def _units(lot: PatchedLot, ours: dict[int, Revision]) -> Iterator[tuple]:
    """One channel of a unit."""
    chains = defaultdict(dict)
    for number, revision in ours.items():
        for stage in revision.stages.all():
            chains[stage.facts.unit.tag][number] = None
    for tag, numbers in chains.items():
        yield tag, "", tuple(numbers)


def _mults(lot: PatchedLot, ours: dict[int, Revision]) -> Iterator[tuple]:
    for mult in lot.patch_list.mults:
        yield mult.name, f"fed from {mult.source.name}", _numbers_in(mult.chains, ours)


def _cords(lot: PatchedLot, ours: dict[int, Revision]) -> Iterator[tuple]:
    for line in (*lot.plugs.cords, *lot.as_above):
        yield f"cord {line.plug.number}", "", _numbers_in(line.plug.link.chains, ours)


def _numbers_in(words: Iterable[str], ours: dict[int, Revision]) -> tuple[int, ...]:
    """Of chains as the patch list has them: chains 1, 2."""
    found = (int(each) for said in words for each in re.findall(r"\d+", f"{said}"))
    return tuple(number for number in found if number in ours)


def _today(revisions: Iterable[Revision]) -> dict[int, Unit]:
    """The units as they stand today."""
    found = {}
    for revision in revisions:
        if amplifier := revision.chain.source.amplifier:
            found[amplifier.pk] = amplifier
        for stage in revision.stages.all():
            found[stage.unit_id] = stage.unit
            if stage.unit.supply:
                found[stage.unit.supply_id] = stage.unit.supply
    return found
