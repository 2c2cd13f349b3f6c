"""What was read off a sheet, held against the database: every difference in words."""

import re
from collections import defaultdict
from collections.abc import Iterator

import numpy as np

from gear.panels.models import Control
from sessions.setups.models import Revision
from sessions.songs.models import Part, Song
from tests.sessions.recall.blind.bench import Bench
from tests.sessions.recall.blind.cells import Cell
from tests.sessions.recall.blind.database import (
    Feed,
    feeds_of,
    group_of,
    placement_of,
    revisions_of,
    stages_of,
    tag_of,
    walls_of,
)
from tests.sessions.recall.blind.patch_list import PrintedPatch, jacks_of, read_patch_lists
from tests.sessions.recall.blind.placement import group_in, placement_in
from tests.sessions.recall.blind.settings import differences, drawn_otherwise
from tests.sessions.recall.blind.sheet import Card, PrintedChain, PrintedSheet


def not_rebuilt(sheet: PrintedSheet, subject: Song | Part) -> Iterator[str]:
    """By the words of the sheet."""
    chains = {(each.source, each.track, each.revision): each for each in sheet.chains}
    revisions = revisions_of(subject)
    if chains.keys() != revisions.keys():
        yield f"chains: {chains.keys() ^ revisions.keys()}"
        return
    for name, chain in chains.items():
        problems = [*_of_place(chain, revisions[name]), *_of_units(chain, revisions[name])]
        yield from (f"{chain.source} → {chain.track}: {problem}" for problem in problems)
    numbered = {chain.number: revisions[name] for name, chain in chains.items()}
    yield from _of_panels(sheet.engraved, list(revisions.values()))
    lots = read_patch_lists(sheet.front)
    if set(numbered) != set().union(*(lot.chains or numbered for lot in lots)):
        yield f"patched for {[lot.chains for lot in lots]}"
    for lot in lots:
        ours = {number: numbered[number] for number in lot.chains or numbered}
        yield from _of_patch(lot, ours, sheet)


def drawn_wrong(
    sheet: PrintedSheet, subject: Song | Part, pages: list[np.ndarray]
) -> Iterator[str]:
    """By the dots of its pages."""
    revisions = revisions_of(subject)
    for chain in sheet.chains:
        revision = revisions[chain.source, chain.track, chain.revision]
        for card, cell, control, value in _controls(chain, revision):
            for problem in drawn_otherwise(cell, control, value, pages[cell.page]):
                yield f"{chain.track}, {card.tag}, {control}: {problem}"


def _of_place(chain: PrintedChain, revision: Revision) -> Iterator[str]:
    place, logged = placement_in(chain.placement), placement_of(revision)
    if place != logged:
        yield f"placement {place}, logged {logged}"
    note = logged and revision.placement.note
    if note and not chain.placement_note.startswith(note):
        yield f"note {chain.placement_note}"
    if group_in(chain.head) != group_of(revision.chain):
        yield f"group {group_in(chain.head)}, logged {group_of(revision.chain)}"


def _of_units(chain: PrintedChain, revision: Revision) -> Iterator[str]:
    stages = stages_of(revision)
    units = [(stage.position, tag_of(stage), f"{stage.unit.model}", stage.get_path_display().lower())
             for stage in stages]  # fmt: skip
    printed = [
        (int(card.mark), card.tag, card.model, card.path)
        for card in chain.cards
        if card.mark != "A"
    ]
    if printed != units:
        yield f"units {printed}, logged {units}"
        return
    cards = {card.mark: card for card in chain.cards}
    for stage in stages:
        card = cards[f"{stage.position}"]
        if stage.note not in card.notes:
            yield f"{stage.unit}: note {card.notes}"
    for card, cell, control, value in _controls(chain, revision):
        for problem in differences(cell, control, value):
            yield f"{card.tag}, {control}: {problem}"


def _controls(
    chain: PrintedChain, revision: Revision
) -> Iterator[tuple[Card, Cell, Control, float | None]]:
    """Each cell with the control that stands at its place on the panel, and its setting."""
    source = revision.chain.source
    panels = {
        f"{stage.position}": (stage.panel, stage.settings, stage.not_yet_set)
        for stage in stages_of(revision)
    }
    panels["A"] = source.panel, source.settings, source.not_yet_set
    for card in chain.cards:
        panel, settings, not_yet_set = panels[card.mark]
        controls = list(panel.controls.order_by("position")) if panel else []
        assert [_name(cell) for cell in card.cells] == list(_names(controls)), (
            card.tag,
            card.cells,
        )
        copied = [control.key for control in controls if control.key in not_yet_set]
        said = [
            control.key
            for cell, control in zip(card.cells, controls, strict=True)
            if cell.is_copied
        ]
        assert said == copied, card.tag
        for cell, control in zip(card.cells, controls, strict=True):
            yield card, cell, control, settings.get(control.key)


def _of_panels(engraved: str, revisions: list[Revision]) -> Iterator[str]:
    """What is engraved in words or figures, once for each panel."""
    said = dict(re.findall(r"\*([^*]+)\* : (.+?\*) \.", engraved))
    panels = {stage.panel for each in revisions for stage in stages_of(each) if stage.panel}
    for panel in panels:
        for control in panel.controls.all():
            labels = [mark["label"].replace("-", "−") for mark in control.marks if mark["label"]]
            words = said.get(f"{panel.model}", "")
            found = re.search(rf"{re.escape(control.label)} \*(.+?)\*", words)
            if labels and not (found and _are_engraved(found[1], labels, control.unit)):
                yield f"{panel.model}, {control}: engraved “{found and found[1]}”, not {labels}"


def _are_engraved(words: str, labels: list[str], unit: str) -> bool:
    """In order of travel; of many the first, the last and how many there are."""
    if " … " in words:
        return words.startswith(f"{labels[0]}, ") and f" … {labels[-1]} ({len(labels)}" in words
    said, engraved = (
        [word.removesuffix(unit).strip() for word in each] for each in (words.split(", "), labels)
    )
    return said == engraved


def _level(dbu) -> str:
    return "–" if dbu is None else f"{dbu:+.1f}".replace("-", "−")


def _name(cell: Cell) -> tuple[str, str]:
    return cell.group, cell.name


def _names(controls: list[Control]) -> Iterator[tuple[str, str]]:
    """The first of a group says its name, and does not repeat it."""
    before = ""
    for control in controls:
        if control.group == before:
            yield "", control.label
        else:
            yield control.group, control.label.removeprefix(f"{control.group} ")
        before = control.group


def _of_patch(
    patch: PrintedPatch, numbered: dict[int, Revision], sheet: PrintedSheet
) -> Iterator[str]:
    """The bays of the house, plugged as the list says, bring every output to its input, by no cord too
    many; and the list says rightly what that breaks and taps."""
    walls = dict(pair for revision in numbered.values() for pair in walls_of(revision))
    if patch.walls != walls:
        yield f"wall boxes: {patch.walls}, logged {walls}"
    bench = Bench.of_house()
    bench.cords = patch.cords
    served = defaultdict(set)
    cards = {chain.number: chain for chain in sheet.chains}
    for number, revision in numbered.items():
        feeds = list(feeds_of(revision))
        joints = [joint for joint in _joints(cards[number]) if joint[0]]
        if len(joints) != len(feeds):
            yield f"chain {number}: {len(joints)} joints printed, {len(feeds)} wanted"
            continue
        for feed, (wires, levels) in zip(feeds, joints, strict=True):
            read = [_level(feed.source.reading_out_dbu), _level(feed.source.tone_reading_dbu)]
            if levels[1:3] != read:
                yield f"chain {number}: {levels} printed after {feed.ends[0]}, {read} logged"
            by = list(_made_by(feed, bench, patch))
            if not by:
                yield f"chain {number}: nothing brings {feed.ends[0]} to {feed.ends[1]}"
            for each in by:
                served[each].add(number)
            printed = [wire.how for wire in wires]
            if printed != [each if isinstance(each, str) else _kind(each, patch) for each in by]:
                yield f"chain {number}: {printed} printed before {feed.ends[1]}, by {by}"
            for wire in wires:
                if wire.how.isdigit() and jacks_of(wire) != patch.cords.get(wire.how):
                    yield f"chain {number}: cord {wire.how} is not that of the list"
    needed = set(served) | set(patch.served) | set(patch.cords)
    wrong = [
        f"{each}: {patch.served.get(each)} printed, {served[each]} needed"
        for each in needed
        if not served[each] or served[each] != patch.served.get(each, served[each])
    ]
    if wrong:
        yield f"chains that these serve: {'; '.join(wrong)}"
    kinds = {
        (kind, *map(_place, jacks)) for jacks in bench.broken for kind in [bench.normals[jacks]]
    }
    if patch.broken != kinds:
        yield f"breaks {patch.broken ^ kinds}"
    tapped = {tuple(map(_place, jacks)) for jacks in bench.tapped if jacks not in patch.normals}
    if patch.tapped != tapped:
        yield f"goes on feeding {patch.tapped ^ tapped}"


def _joints(chain: PrintedChain) -> list[tuple]:
    """What leads to each unit and to the track, with the levels beside it."""
    return [*((card.wires, card.levels) for card in chain.cards), (chain.out, chain.out_levels)]


def _made_by(feed: Feed, bench: Bench, patch: PrintedPatch) -> Iterator[object]:
    """Numbers of cords, a normal's jacks or a direct cable's ends; nothing where the signal fails."""
    if not feed.jacks:
        if feed.ends in patch.direct:
            yield feed.ends
        return
    out, into = feed.jacks
    way = bench.into(into)
    if way and (way.start == out or feed.source.unit_id == bench.units.get(way.start)):
        yield from way.cords
        if way.normal and way.normal in patch.normals:
            yield way.normal


def _kind(made: tuple[str, str], patch: PrintedPatch) -> str:
    return "normal" if made in patch.normals else "direct"


def _place(jack: str) -> str:
    return jack.rpartition(" ")[2]
