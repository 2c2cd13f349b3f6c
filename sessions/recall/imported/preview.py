"""An imported sheet as its page shows it, drawn from the marks that came with it."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from gear.audio.values import format_value
from gear.panels.reading import read_control
from sessions.recall.imported.chains import chains_of_data
from sessions.recall.models import ImportedSheet
from sessions.recall.sheet.patch_data import patch_list_of
from sessions.recall.sheet.wanted import WantedChain, WantedStage
from sessions.setups.headphones.listening import HeardMix
from sessions.setups.models import Placement
from sessions.setups.patching.patch_list import Patching
from sessions.setups.placement.facts import placement_facts
from sessions.setups.signal_path.levels import level_figures
from sessions.setups.signal_path.units import ControlGroup, ControlSetting


@dataclass(frozen=True)
class StagePreview:
    """`planned` are the levels that were expected there and read, as the data give them; empty where
    they are of a version that had none."""

    wanted: WantedStage
    groups: tuple[ControlGroup, ...]
    curves: tuple[dict, ...]
    planned: dict

    @property
    def levels(self) -> list[tuple[str, str]]:
        out, read, headroom = map(self.planned.get, ("out_dbu", "read_dbu", "headroom_db"))
        return level_figures(out, read, self.wanted.tone_reading_dbu, headroom)

    @property
    def difference_db(self) -> float | None:
        out, read = self.planned.get("out_dbu"), self.planned.get("read_dbu")
        return None if None in (out, read) else read - out


@dataclass(frozen=True)
class ChainPreview:
    """Without patching where the data are of a version that had none."""

    wanted: WantedChain
    placement: tuple[tuple[str, str], ...]
    levels: tuple[tuple[str, str], ...]
    patching: Patching | None
    facts_kept: bool
    stages: tuple[StagePreview, ...]


@dataclass(frozen=True)
class HeardPreview:
    """The mixes of a setup, at some takes; is_kept: as they were then."""

    setup: str
    takes: str
    is_kept: bool
    mixes: tuple[HeardMix, ...]


@dataclass(frozen=True)
class Preview:
    facts: tuple[tuple[str, str], ...]
    takes: tuple[str, ...]
    chains: tuple[ChainPreview, ...]
    headphones: tuple[HeardPreview, ...]


def preview_of(imported: ImportedSheet) -> Preview:
    data = imported.data
    return Preview(
        facts=tuple(_facts(imported)),
        takes=tuple(_take(take) for take in data["takes"]),
        chains=tuple(map(_chain, chains_of_data(data), data["chains"])),
        headphones=tuple(map(_heard, data.get("headphones", []))),
    )


def _facts(imported: ImportedSheet) -> list[tuple[str, str]]:
    song = imported.data["song"]
    return [
        ("From", imported.studio),
        ("File", imported.file_name),
        ("Artist", song["artist"]),
        ("Project", song["project"]),
        ("Key", song["key"]),
        ("Time signature", song["meter"]),
        *zip(("Sample rate", "Bit depth", "Alignment"), _format_in_words(song), strict=True),
        ("Note", song["note"]),
    ]


def _take(take: dict) -> str:
    return f"{take['part']}, take {take['number']} ({take['chosen_because']})"


def _heard(heard: dict) -> HeardPreview:
    takes = "; ".join(f"{take['part']}, take {take['number']}" for take in heard["takes"])
    mixes = tuple(map(HeardMix.from_json, heard["mixes"]))
    return HeardPreview(
        f"{heard['session']['title']}, {heard['setup']}", takes, heard["kept"], mixes
    )


def _chain(chain: WantedChain, data: dict) -> ChainPreview:
    placement = placement_facts(Placement(**chain.placement)) if chain.placement else []
    patching = None
    if "patch_list" in data:
        patching = Patching(patch_list_of(data["patch_list"]), ())
    plan = data.get("level_plan") or {"stages": []}
    planned = {each["stage"]: each for each in plan["stages"]}
    return ChainPreview(
        chain,
        tuple(placement),
        tuple(_levels(data)),
        patching,
        data.get("facts_kept", False),
        tuple(
            _stage(stage, of_stage, planned.get(stage.position, {}))
            for stage, of_stage in zip(chain.stages, data["stages"], strict=True)
        ),
    )


def _levels(data: dict) -> Iterator[tuple[str, str]]:
    """Figures in words, as far as the data give them."""
    if plan := data.get("level_plan"):
        yield "Source", plan["source"]
        yield "Converter", _figure(plan["converter_dbfs"], "dBFS")
    if recorded_as := data.get("recorded_as"):
        yield "Recorded as", ", ".join(_format_in_words(recorded_as))
    levels = data["levels"]
    tone = _figure(levels["tone_hz"], "Hz"), _figure(levels["tone_dbu"], "dBu")
    yield "Test tone", ", ".join(filter(None, tone))


def _figure(value: float | None, unit: str) -> str:
    return "" if value is None else format_value(round(value, 1), unit)


def _format_in_words(facts: dict) -> tuple[str, str, str]:
    return (
        _figure(facts["sample_rate_hz"], "Hz"),
        f"{facts['bit_depth']} bit",
        f"0 dBFS at {_figure(facts['full_scale_dbu'], 'dBu')}",
    )


def _stage(stage: WantedStage, data: dict, planned: dict) -> StagePreview:
    settings = [
        ControlSetting(
            control,
            value,
            read_control(control, value),
            control.key in stage.photographed,
            control.key in stage.not_yet_set,
        )
        for control in stage.controls
        for value in [stage.settings.get(control.key)]
    ]
    groups = groupby(settings, key=lambda setting: setting.control.group)
    return StagePreview(
        stage,
        tuple(ControlGroup(name, tuple(inside)) for name, inside in groups),
        tuple(data.get("curves", [])),
        planned,
    )
