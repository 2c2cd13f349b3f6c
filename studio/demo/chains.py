"""How the demo makes signal chains: what is plugged into what, and every control as it was set."""

from dataclasses import dataclass, field
from decimal import Decimal

from gear.acting import set_facts
from gear.equipment.models import Unit
from gear.patchbay.models import PatchPoint
from sessions.setups.chains.actions import Seen, add_chain, add_stage
from sessions.setups.editor.actions import set_field
from sessions.setups.editor.keys import stage_keys
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix
from sessions.setups.levels.actions import log_levels
from sessions.setups.models import Arrangement, Chain, ChainGroup, Path, Seat, Setup, Stage
from sessions.setups.pins.actions import pin_control
from sessions.setups.placement.actions import place_microphone

SEATS = {Arrangement.MID_SIDE: (Seat.MID, Seat.SIDE)}


@dataclass(frozen=True)
class S:
    """A stage: the unit's tag, its settings, and the labels of the points it is patched at."""

    tag: str
    settings: dict = field(default_factory=dict)
    into: str = ""
    out_of: str = ""
    path: str = Path.PRINTED
    note: str = ""


@dataclass(frozen=True)
class Line:
    """A line of an input list: what is heard, what of a song it carries, through what, and where
    its microphone stands."""

    source: str
    track: str
    parts: tuple[str, ...]
    stages: list[S]
    placement: dict = field(default_factory=dict)
    more: dict = field(default_factory=dict)


def pre(number: int, gain: float, *, phantom: bool, **more) -> S:
    """A channel of the preamplifiers, by the number of its input at the bay, 1 to 16."""
    settings = {"48-v": int(phantom), "pad": 0, "polarity": 0, "low-cut": 0, "gain": gain} | more
    tag = "PR-01" if number <= 8 else "PR-02"
    return S(tag, settings, f"Pre {number} in", f"Pre {number} out")


def record(number: int) -> S:
    return S("AD-01", {"full-scale": 18}, f"Record {number}")


def make_chain(setup: Setup, line: Line, *, by, parts=(), number: int, **facts) -> Chain:
    """A chain with its stages and placement, through the same actions as the pages."""
    chain = add_chain(
        setup,
        by=by,
        source=line.source,
        track=line.track,
        destination_input=f"Input {number}",
        parts=parts,
        **line.more,
        **facts,
    )
    points = {point.label: point for point in PatchPoint.objects.all()}
    for stage in line.stages:
        unit = Unit.objects.select_related("model").get(asset_tag=stage.tag)
        add_stage(
            chain,
            seen=Seen.of(chain.revisions.newest().get()),
            by=by,
            unit=unit,
            channel=points[stage.into].channel if stage.into else None,
            panel=unit.model.current_panel(),
            path=stage.path,
            settings=dict(stage.settings),
            patch_in=points.get(stage.into),
            patch_out=points.get(stage.out_of),
            note=stage.note,
        )
        chain = Chain.objects.get(pk=chain.pk)
    if line.placement:
        place_microphone(
            chain, seen=Seen.of(chain.revisions.newest().get()), by=by, **line.placement
        )
    return Chain.objects.get(pk=chain.pk)


def make_group(setup: Setup, name: str, tracks: list[str], **facts) -> ChainGroup:
    """The chains of these tracks as a pair or a group; a pair's first is left, or mid."""
    group = ChainGroup.objects.create(setup=setup, name=name, **facts)
    seats = SEATS.get(group.arrangement, (Seat.LEFT, Seat.RIGHT)) if group.is_pair else ()
    for place, track in enumerate(tracks):
        chain = setup.chains.get(track=track)
        chain.group, chain.seat = group, seats[place] if seats else ""
        chain.save()
    return group


def describe_sources(setup: Setup, facts_by_name: dict[str, dict], people: dict) -> None:
    """Who plays each source and on what; an amplifier by its tag."""
    for source_name, facts in facts_by_name.items():
        source = setup.sources.get(name=source_name)
        if performer := facts.get("performer"):
            facts = facts | {"performer": people[performer]}
        if tag := facts.get("amplifier"):
            amplifier = Unit.objects.select_related("model").get(asset_tag=tag)
            facts |= {"amplifier": amplifier, "panel": amplifier.model.current_panel()}
        set_facts(source, **facts)
        source.save()


def turn(setup: Setup, track: str, tag: str, *, by, **settings) -> None:
    """Turn controls of one unit of a chain, as its page does."""
    chain, key, stage = _stage_in(setup, track, tag)
    for name, value in settings.items():
        name = name.replace("_", "-")
        was = stage.settings.get(name)
        set_field(chain, key=key, name=f"control-{name}", was=was, value=value, by=by)


def pin(setup: Setup, track: str, tag: str, *controls: str, by) -> None:
    """Let these controls be changed from the tracking page."""
    chain, key, _ = _stage_in(setup, track, tag)
    for control in controls:
        pin_control(chain, stage=key, control=control, pinned=True, by=by)


def _stage_in(setup: Setup, track: str, tag: str) -> tuple[Chain, str, Stage]:
    """A unit of the chain to that track, with its key."""
    chain = setup.chains.get(track=track)
    stages = stage_keys(chain.newest_revision().stages.select_related("unit"))
    [(key, stage)] = [each for each in stages.items() if each[1].unit.asset_tag == tag]
    return chain, key, stage


def read_tone(chain: Chain, readings: list[str | None], *, by) -> None:
    """Log a tone of 1 kHz at -46 dBu and what it read at each stage, from the first on."""
    log_levels(
        chain,
        seen=Seen.of(chain.revisions.newest().get()),
        by=by,
        facts={"tone_hz": 1000, "tone_dbu": -46},
        stages={
            position: {"tone_reading_dbu": Decimal(reading)}
            for position, reading in enumerate(readings, 1)
            if reading
        },
    )


def read(chain: Chain, *, by, stages: dict | None = None, **facts) -> None:
    """Write down the source's level, and what was planned or read at units, by their tags."""
    revision = chain.newest_revision()
    by_tag = stages or {}
    log_levels(
        chain,
        seen=Seen.of(revision),
        by=by,
        facts=facts,
        stages={
            stage.position: by_tag[stage.unit.asset_tag]
            for stage in revision.stages.all()
            if stage.unit.asset_tag in by_tag
        },
    )


def make_mix(
    setup: Setup, name: str, *, box: str, output: str, lines: dict, **facts
) -> HeadphoneMix:
    """A headphone mix; `lines` by the track of a chain of the setup, or by another source."""
    listeners = facts.pop("listeners", [])
    mix = HeadphoneMix.objects.create(
        setup=setup,
        position=setup.headphone_mixes.count() + 1,
        name=name,
        box=Unit.objects.get(asset_tag=box),
        output=output,
        **facts,
    )
    mix.listeners.set(listeners)
    chains = {chain.track: chain for chain in setup.chains.all()}
    for position, (heard, (level, pan)) in enumerate(lines.items(), start=1):
        chain = chains.get(heard)
        source = "" if chain else heard
        HeadphoneLine.objects.create(
            mix=mix, position=position, chain=chain, source=source, level=level, pan=pan
        )
    return mix
