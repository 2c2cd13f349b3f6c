"""A recall from elsewhere as its page shows it, drawn from the marks that came with it."""

from dataclasses import dataclass
from itertools import groupby

from gear.panels.reading import read_control
from sessions.recall.carried.reading import chains_of_data
from sessions.recall.models import CarriedRecall
from sessions.recall.placement import placement_facts
from sessions.recall.rebuilds.wanted import WantedChain, WantedStage
from sessions.recall.sheet import ControlGroup, ControlSetting
from sessions.setups.models import Placement


@dataclass(frozen=True)
class StagePreview:
    wanted: WantedStage
    groups: tuple[ControlGroup, ...]


@dataclass(frozen=True)
class ChainPreview:
    wanted: WantedChain
    placement: tuple[tuple[str, str], ...]
    stages: tuple[StagePreview, ...]


@dataclass(frozen=True)
class Preview:
    facts: tuple[tuple[str, str], ...]
    takes: tuple[str, ...]
    chains: tuple[ChainPreview, ...]


def preview_of(carried: CarriedRecall) -> Preview:
    data = carried.data
    return Preview(
        facts=tuple(_facts(carried)),
        takes=tuple(_take(take) for take in data["takes"]),
        chains=tuple(_chain(chain) for chain in chains_of_data(data)),
    )


def _facts(carried: CarriedRecall) -> list[tuple[str, str]]:
    song = carried.data["song"]
    return [
        ("From", carried.studio),
        ("File", carried.file_name),
        ("Artist", song["artist"]),
        ("Project", song["project"]),
        ("Key", song["key"]),
        ("Meter", song["meter"]),
        ("Sample rate", f"{song['sample_rate_hz'] / 1000:g} kHz"),
        ("Bit depth", f"{song['bit_depth']} bit"),
        ("Alignment", f"0 dBFS at {song['full_scale_dbu']:+g} dBu"),
        ("Note", song["note"]),
    ]


def _take(take: dict) -> str:
    return f"{take['part']}, take {take['number']} ({take['chosen_because']})"


def _chain(chain: WantedChain) -> ChainPreview:
    placement = placement_facts(Placement(**chain.placement)) if chain.placement else []
    return ChainPreview(chain, tuple(placement), tuple(_stage(stage) for stage in chain.stages))


def _stage(stage: WantedStage) -> StagePreview:
    settings = [
        ControlSetting(control, value, read_control(control, value))
        for control in stage.controls
        for value in [stage.settings.get(control.key)]
    ]
    groups = groupby(settings, key=lambda setting: setting.control.group)
    return StagePreview(stage, tuple(ControlGroup(name, tuple(inside)) for name, inside in groups))
