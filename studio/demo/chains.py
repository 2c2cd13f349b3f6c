"""The demo's signal chains: what is plugged into what, and every knob as it was set."""

from dataclasses import dataclass, field
from decimal import Decimal

from gear.equipment.models import Unit
from gear.patchbay.models import PatchPoint
from sessions.setups.chains.actions import Seen, add_chain, add_stage, change_stage
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix
from sessions.setups.levels.actions import log_levels
from sessions.setups.models import Chain, Path, Setup
from sessions.setups.placement.actions import place_microphone


@dataclass(frozen=True)
class S:
    """A stage: the unit's tag, its settings, and the labels of the points it is patched at."""

    tag: str
    settings: dict = field(default_factory=dict)
    into: str = ""
    out_of: str = ""
    path: str = Path.PRINTED
    note: str = ""


def neap(number: int, gain: float, *, phantom: int = 0, out_of: str = "", **more) -> S:
    settings = {"48-v": phantom, "polarity": 0, "gain": gain, "trim": 0, "equaliser": 0} | more
    return S(f"P-0{number}", settings, f"Pre {number} in", out_of or f"Pre {number} out")


def causeway(number: int, level: float, **more) -> S:
    settings = {"line-trim": 0, "high-pass": 75, "filter": 1, "air": 0}
    settings |= {"air-frequency": 12_000, "fader": 0, "level": level}
    return S(f"D-0{number + 6}", settings | more, f"Line {number}", f"Direct {number}")


LOG = {"full-scale": 18}

LEAD_VOCAL = [
    S("M-01", {"low-cut": 0}),
    S("S-01", {"power": 1, "pattern": 2}, "", "Wall 1", note="On since 9:15."),
    neap(
        1,
        35,
        equaliser=1,
        trim=-2,
        low=-2.5,
        **{"low-frequency": 90, "middle": 1.5, "middle-frequency": 3200, "high": 2},
        **{"high-frequency": 10_000},
    ),
    S(
        "C-01",
        {
            "threshold": -8,
            "ratio": 4,
            "attack": 10,
            "release": 200,
            "knee": 1,
            "make-up": 4,
            "circuit": 1,
            "gain-reduction": 3.5,
        },
        "Dry 1 in",
        "Dry 1 out",
    ),
    causeway(1, -6, air=2),
    S("A-01", LOG, "Record 1"),
    S(
        "E-01",
        {"decay": 1.8, "blend": 25},
        "Undercroft in",
        "Undercroft out",
        Path.MONITOR_ONLY,
        "For her headphones; not recorded.",
    ),
]
LEAD_VOCAL_LEVELS = {
    "source_spl_db": 90,
    "source_distance_cm": 30,
    "stages": {"C-01": {"planned_reduction_low_db": 3, "planned_reduction_high_db": 4}},
}
FIDDLE = [
    S("M-02", {"pad": 0, "low-cut": 1}, "", "Wall 2"),
    neap(2, 40, phantom=1),
    causeway(2, -10),
    S("A-01", LOG, "Record 2"),
]
FLUGELHORN = [
    S("M-04", {}, "", "Wall 3"),
    neap(3, 50, trim=3),
    causeway(3, -8),
    S("A-01", LOG, "Record 3"),
]
GROUP = [
    S("M-02", {"pad": 0, "low-cut": 1}, "", "Wall 2"),
    neap(2, 45, phantom=1, out_of="Mult 1 a"),
    causeway(2, -12),
    S("A-01", LOG, "Record 2"),
]
GROUP_DRY = [  # the same microphone past the console channel, by the mult
    S("M-02", {"pad": 0, "low-cut": 1}, "", "Wall 2"),
    neap(2, 45, phantom=1, out_of="Mult 1 b"),
    S("A-01", LOG, "Record 1"),
]
ROOM = [
    S("M-03", {"pad": 0}, "", "Wall 3"),
    neap(3, 50),  # phantom left off: the page warns
    causeway(3, -14),
    S("A-01", LOG, "Record 3"),
]
CONCERTINA = [
    S("M-05", {}, "", "Sail 1"),
    neap(1, 45),
    causeway(1, -10),
    S("A-01", LOG, "Record 1"),
]
SPOKEN = [  # on the preamplifier that the concertina has: the page warns
    S("M-06", {}, "", "Sail 2"),
    neap(1, 50),
    causeway(1, -10),
    S("A-01", LOG, "Record 1"),
]


def make_chain(setup: Setup, stages: list[S], *, by, placement: dict, **facts) -> Chain:
    """A chain with its stages and placement, through the same actions as the pages."""
    chain = add_chain(setup, by=by, **facts)
    points = {point.label: point for point in PatchPoint.objects.all()}
    for stage in stages:
        unit = Unit.objects.select_related("model").get(asset_tag=stage.tag)
        add_stage(
            chain,
            seen=Seen.of(chain.newest_revision()),
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
    place_microphone(chain, seen=Seen.of(chain.newest_revision()), by=by, **placement)
    return Chain.objects.get(pk=chain.pk)


def read_tone(chain: Chain, readings: list[str | None], *, by) -> None:
    """Log a tone of 1 kHz at -40 dBu and what it read at each stage, from the first on."""
    log_levels(
        chain,
        seen=Seen.of(chain.newest_revision()),
        by=by,
        facts={"tone_hz": 1000, "tone_dbu": -40},
        stages={
            position: {"tone_reading_dbu": Decimal(reading)}
            for position, reading in enumerate(readings, 1)
            if reading
        },
    )


def turn(chain: Chain, tag: str, *, by, **settings) -> None:
    """Turn controls of one unit in the chain's newest revision."""
    revision = chain.revisions.order_by("-number").first()
    stage = revision.stages.select_related("revision__chain").get(unit__asset_tag=tag)
    change_stage(stage, seen=Seen.of(revision), by=by, settings=stage.settings | settings)


def make_mix(
    setup: Setup, name: str, *, box: str, output: str, lines: dict, **facts
) -> HeadphoneMix:
    """A headphone mix; `lines` by the track of a chain of the setup, or by another source."""
    listeners = facts.pop("listeners", [])
    mix = HeadphoneMix.objects.create(
        setup=setup, name=name, box=Unit.objects.get(asset_tag=box), output=output, **facts
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
