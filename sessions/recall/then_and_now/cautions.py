"""What is seen to before a test file goes through a chain of a rebuild, by what its checklist has."""

from collections.abc import Iterator

from gear.equipment.phantom import PASSES_ON, Line
from gear.panels.models import Meaning
from sessions.recall.proving.cautions import (
    SWEEPS,
    Caution,
    cautions,
    fed_itself,
    high_voltage,
    shared_with,
)
from sessions.recall.proving.feeding import Feed
from sessions.recall.rebuilds.lines import ChainChecklist, Checklist, ControlLine, StageLine
from sessions.setups.chains.phantom import place_at


def rebuilt_cautions(
    checklist: Checklist, chain: ChainChecklist, feed: Feed, *, harms: str = SWEEPS
) -> list[Caution]:
    """48 V is asked of what stands at every step of the rebuild: one switch may serve several chains."""
    return cautions(
        phantom=dict.fromkeys(_phantom(checklist, chain, feed)),
        path=high_voltage(feed),
        into=_into(chain, feed),
        harms=harms,
    )


def _into(chain: ChainChecklist, feed: Feed) -> str:
    """By its number in the plan where it is no unit of the gear, which has a tag."""
    entry = _entry(chain, feed)
    if entry is None:
        return ""
    is_ours = not entry.is_from_outside
    return f"the input of {feed.entry.facts.unit.tag if is_ours else f'unit {feed.entry.position}'}"


def _entry(chain: ChainChecklist, feed: Feed) -> StageLine | None:
    at = feed.entry and feed.entry.position
    return next((line for line in chain.in_use if line.wanted.position == at), None)


def _phantom(checklist: Checklist, chain: ChainChecklist, feed: Feed) -> Iterator[str]:
    if feed.entry and feed.entry.unit:
        yield from fed_itself(feed.entry.unit)
    switches = list(_switches(checklist, chain, feed))
    on = [each for each in switches if (_value(each[1]) or 0) > 0]
    for stage, switch, other in on:
        how = "Ticked" if switch.is_set else "Logged"
        yield (
            f"{how} as on at {stage.unit_in_words} (“{other.wanted}”): mute it, switch it off, and wait "
            "until it has died away."
        )
    if switches and all(_value(switch) is None for _, switch, _ in switches):
        yield f"Whether it is on at {switches[0][0].unit_in_words} is not logged: look there."
    ours = {stage.unit for stage in feed.before}
    for _, switch, _ in switches:
        needed = switch.ruling.needed_by if switch.ruling else ()
        yield from shared_with(unit for unit in needed if unit not in ours)


def _switches(
    checklist: Checklist, chain: ChainChecklist, feed: Feed
) -> Iterator[tuple[StageLine, ControlLine, ChainChecklist]]:
    """Those whose 48 V reaches where the file is fed in: of that unit, or, where it lets 48 V through, of one
    behind it or of another line of the same splitter."""
    entry = _entry(chain, feed)
    if entry is None:
        return
    banks = _place_of(entry).banks
    if entry.in_use.model.category in PASSES_ON:
        lines = [_line_of(each) for each in checklist.chains]
        banks = _line_of(chain).hangs_on(lines)
    for each in checklist.chains:
        for stage in each.in_use:
            if _place_of(stage).banks & banks:
                for line in stage.controls:
                    if line.control.meaning == Meaning.PHANTOM:
                        yield stage, line, each


def _value(switch: ControlLine) -> float | None:
    return switch.set_to if switch.is_set else switch.logged


def _line_of(chain: ChainChecklist) -> Line:
    return Line(tuple(map(_place_of, chain.in_use)))


def _place_of(line: StageLine):
    controls = [each.control for each in line.controls]
    outputs = [each for each in line.controls if each.control.meaning == Meaning.SPLIT_OUTPUT]
    isolates = any(each.set_to if each.is_set else each.logged for each in outputs)
    return place_at(line.in_use, line.step.channel, controls, isolates=isolates)
