"""The levels of all chains of a setup, and how far apart the two sides of a pair are."""

from dataclasses import dataclass

from gear.audio.values import format_value
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.grouping.sections import in_sections
from sessions.setups.levels.plan import LevelPlan, StagePlan, level_plan
from sessions.setups.levels.tone import (
    USUAL_MICROPHONE_DBU,
    USUAL_TONE_HZ,
    ToneStage,
    takes_tone,
    tone_levels,
)
from sessions.setups.models import GroupFacts, Revision, Setup
from sessions.setups.signal_path.levels import source_text

NOT_KNOWN = "not known"
#: Less than this is not shown by one decimal.
ALIKE_DB = 0.05


@dataclass(frozen=True)
class ChainLevels:
    revision: Revision
    plan: LevelPlan

    @property
    def side(self) -> str:
        facts = self.revision.group_facts
        return facts.side if facts else ""

    @property
    def source_text(self) -> str:
        return source_text(self.revision, self.plan)

    @property
    def converter_text(self) -> str:
        dbfs = self.plan.converter_dbfs
        return NOT_KNOWN if dbfs is None else format_value(round(dbfs, 1), "dBFS")

    @property
    def headroom_text(self) -> str:
        if self.plan.clips_first is None:
            return NOT_KNOWN
        what, room_db = self.plan.clips_first
        return f"{room_db:.1f} dB, {what}" if room_db >= 0 else f"clips: {what}"

    @property
    def last_read(self) -> StagePlan | None:
        """The last printed unit at whose output something was read."""
        read = [each for each in self.plan.stages if each.stage.is_printed and _is_read(each)]
        return read[-1] if read else None

    @property
    def read_text(self) -> str:
        last = self.last_read
        if last is None:
            return "not read"
        said = f"{format_value(round(last.read_dbu, 1), 'dBu')} at {last.stage.facts.unit.tag}"
        if last.difference_db is None:
            return said
        return f"{said}, {format_value(round(last.difference_db, 1), 'dB')} from plan"


@dataclass(frozen=True)
class LevelSection:
    """The chains of a pair or a group; without facts, those that stand alone."""

    facts: GroupFacts | None
    chains: tuple[ChainLevels, ...]

    @property
    def sides(self) -> list[str]:
        """Of a whole pair how far its second side is above the first: by its controls, and as read."""
        if not (self.facts and self.facts.is_pair and len(self.chains) == 2):
            return []
        first, second = self.chains
        through = [_tone_through(each.plan) for each in self.chains]
        said = []
        if None not in through:
            said.append(f"By the logged controls: {self._apart(*through)}.")
        for ours, theirs in zip(first.plan.stages, second.plan.stages, strict=False):
            if _is_read(ours) and _is_read(theirs):
                said.append(
                    f"As read after unit {ours.stage.position}: "
                    f"{self._apart(ours.read_dbu, theirs.read_dbu)}."
                )
        return said or ["How far apart its sides are is not known."]

    def _apart(self, first_dbu: float, second_dbu: float) -> str:
        first, second = (each.side or f"“{each.revision.chain}”" for each in self.chains)
        apart = second_dbu - first_dbu
        if abs(apart) < ALIKE_DB:
            return f"{first} and {second} alike"
        above = "above" if apart > 0 else "below"
        return f"{second} {abs(apart):.1f} dB {above} {first}"


def setup_levels(setup: Setup) -> list[LevelSection]:
    """By pair and group, as it stands now. Reads a setup loaded `with_chains`; costs no query."""
    revisions = [chain.newest_revision() for chain in setup.chains.all()]
    return [
        LevelSection(facts, tuple(ChainLevels(each, level_plan(each)) for each in ours))
        for facts, ours in in_sections(revisions)
    ]


def _tone_through(plan: LevelPlan) -> float | None:
    """What a tone into the first input would leave the printed path at, in dBu: how loud the source
    is does not matter for two sides of a pair."""
    stages = [each.stage for each in plan.stages if each.stage.is_printed]
    path = [
        ToneStage(each.facts.unit.model.category, True, StageControls.at(each))
        for each in stages
        if takes_tone(each.facts.unit.model.category)
    ]
    levels = tone_levels(path, tone_hz=USUAL_TONE_HZ, tone_dbu=USUAL_MICROPHONE_DBU[0])
    return levels[-1].dbu if levels else None


def _is_read(plan: StagePlan) -> bool:
    return plan.read_dbu is not None
