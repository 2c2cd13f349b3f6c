"""Where the test file goes into a chain, and how loud: what the page draws, and the file is made by."""

import hashlib
import json
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gear.audio.curves import frequencies, response_db
from gear.audio.proving.plan import BURST_HZ, LONGEST_RELEASE_S, SWEEP_DB, Plan
from gear.audio.values import format_value
from gear.equipment.models import Category
from gear.panels.models import Meaning
from sessions.setups.controls.equaliser import bands_of
from sessions.setups.controls.gains import summed_gains
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.levels.tone import takes_tone
from sessions.setups.models import Revision, Stage

#: What is left below the first thing that clips: marks on panels are no measurements. Ours, no source.
ROOM_DB = 3.0
#: Pads come in steps; a file is not played softer than this below full scale. Common practice, no source.
PAD_STEP_DB = 20
PAD_DB = (0, 80)
USUAL_RELEASE_S = 0.2


@dataclass(frozen=True)
class Limit:
    """What clips first: so loud may a sine be where the file is fed in."""

    dbu: float
    what: str


@dataclass(frozen=True)
class Feed:
    """The printed units that the file goes through, in order, the first the one that it is fed into.

    limit is None where nothing is known that clips, or not all gains are: then unknown says why.
    """

    stages: tuple[Stage, ...]
    full_scale_dbu: float
    before: tuple[Stage, ...] = ()
    limit: Limit | None = None
    unknown: tuple[str, ...] = ()
    release_s: float = USUAL_RELEASE_S

    @property
    def entry(self) -> Stage | None:
        return self.stages[0] if self.stages else None

    @property
    def loudest_dbu(self) -> float | None:
        """The ceiling that is proposed: never more than the output gives without a pad."""
        if self.limit is None:
            return None
        return math.floor(min(self.limit.dbu - ROOM_DB, self.full_scale_dbu))

    @property
    def digest(self) -> str:
        return settings_digest(self.stages)


def feed_of(revision: Revision, *, up_to: int | None = None) -> Feed:
    """Reads a revision loaded `with_stages` and costs no query. up_to: the position of the last unit
    that is measured through, where that is not the converter."""
    full_scale = revision.recording_format.full_scale_dbu
    return feed_through(revision.stages.all(), full_scale, up_to=up_to)


def feed_through(
    stages: Iterable[Stage], full_scale_dbu: float, *, up_to: int | None = None
) -> Feed:
    """The same of all stages of whatever chain, in signal order."""
    before, printed = measured_through(stages)
    through = [stage for stage in printed if up_to is None or stage.position <= up_to]
    limit, unknown = limit_of(through, full_scale_dbu)
    return Feed(tuple(through), full_scale_dbu, tuple(before), limit, unknown, _release_s(through))


def measured_through(stages: Iterable[Stage]) -> tuple[list[Stage], list[Stage]]:
    """The printed units before the one that the file is fed into, and those from there on."""
    printed = [stage for stage in stages if stage.is_printed]
    first = next(
        (n for n, stage in enumerate(printed) if takes_tone(stage.facts.unit.model.category)),
        len(printed),
    )
    return printed[:first], printed[first:]


def stops(feed: Feed) -> list[Stage]:
    """The units, but for the last, after which the signal can be had: they are patched at a bay."""
    return [stage for stage in feed.stages[:-1] if stage.facts.patch_out]


def plan_of(rate_hz: int, ceiling_dbfs: float, release_s: float = USUAL_RELEASE_S) -> Plan:
    return Plan(rate_hz, round(ceiling_dbfs, 2), round(release_s, 3))


def usual_pad_db(fed_dbu: float, full_scale_dbu: float) -> int:
    """In whole steps, so that the file is as loud as can be, and no pad where a line is fed."""
    steps = math.floor((full_scale_dbu - fed_dbu) / PAD_STEP_DB)
    return min(max(steps, 0) * PAD_STEP_DB, PAD_DB[1])


def settings_digest(stages: Sequence[Stage]) -> str:
    """The same for as long as these units, their channels and their settings stay what they are."""
    facts = [
        (
            stage.position,
            stage.unit_id,
            stage.channel,
            stage.panel_id,
            sorted(stage.settings.items()),
        )
        for stage in stages
    ]
    return hashlib.sha256(json.dumps(facts).encode()).hexdigest()


def digest_through(revision: Revision, up_to: int | None = None) -> str:
    """Of what `feed_of` would have the file go through."""
    _, printed = measured_through(revision.stages.all())
    return settings_digest([each for each in printed if up_to is None or each.position <= up_to])


def limit_of(stages: Sequence[Stage], full_scale: float) -> tuple[Limit | None, tuple[str, ...]]:
    """What clips first, if it can be told, and else why not. Nothing is taken off for what a compressor
    reduces: bursts come before it acts."""
    grid = (*BURST_HZ, *frequencies())
    gains, found, unknown = [0.0] * len(grid), [], []
    for stage in stages:
        model, name = stage.facts.unit.model, stage.facts.unit.tag
        if model.category == Category.CONVERTER:
            break
        controls = StageControls.at(stage)
        sums, unlogged = summed_gains(controls, [])
        if model.category == Category.EFFECT:
            unknown.append(f"What {name} does to the level can’t be told from its controls.")
        if unlogged:
            unknown.append(f"Not logged at {name}: {', '.join(unlogged)}.")
        gains = [gain - abs(sums["pad_db"]) for gain in gains]
        if model.max_input_dbu is not None:
            found.append(Limit(model.max_input_dbu - _most(gains), f"the input of {name}"))
        bands, more = bands_of(controls, []), sums["gain_db"] + sums["make_up_db"]
        gains = [
            gain + more + response_db(bands, hertz) for gain, hertz in zip(gains, grid, strict=True)
        ]
        if model.max_output_dbu is not None:
            found.append(Limit(model.max_output_dbu - _most(gains), f"the output of {name}"))
    found.append(Limit(full_scale - _most(gains), "the converter"))
    if unknown or not stages:
        return None, tuple(unknown)
    return min(found, key=lambda limit: limit.dbu), ()


def _most(gains: Sequence[float]) -> float:
    """Of the gain of all that the file holds, against its ceiling: the sweeps stay below that."""
    sines = len(BURST_HZ)
    return max(*gains[:sines], max(gains[sines:]) + max(SWEEP_DB))


def _release_s(stages: Sequence[Stage]) -> float:
    """The longest that the controls say; of one that is not logged the longest that it has."""
    longest = USUAL_RELEASE_S
    for stage in stages:
        controls = StageControls.at(stage)
        for control in controls.of(Meaning.RELEASE):
            scale = {"s": 1.0, "ms": 0.001}.get(control.unit)
            value = controls.setting(control)
            marks = [mark["value"] for mark in control.marks]
            if scale and (value is not None or marks):
                longest = max(longest, scale * (max(marks) if value is None else value))
    return min(longest, LONGEST_RELEASE_S)


def limit_in_words(feed: Feed) -> str:
    """Empty where it is not known."""
    if feed.limit is None:
        return ""
    level = format_value(round(feed.limit.dbu, 1), "dBu")
    return f"{feed.limit.what[0].upper()}{feed.limit.what[1:]} clips first, at {level} here."
