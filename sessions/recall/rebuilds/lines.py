"""The lines of a rebuild’s checklist: what was wanted, what stands in for it, what is set already."""

from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property

from gear.equipment.models import GearModel, Unit
from gear.equipment.phantom import Ruling
from gear.panels.models import Control, Meaning
from gear.panels.travel import Travel, travel
from gear.patchbay.models import PatchPoint
from sessions.recall.models import Rebuild, RebuildStep, Tick
from sessions.recall.rebuilds.beyond import sensitivity_words
from sessions.recall.rebuilds.reckoning import AS_LOGGED, Standing
from sessions.recall.rebuilds.tone import ChainTone, ReadNow, StageTone, chain_tone
from sessions.recall.sheet.wanted import WantedChain, WantedStage
from sessions.setups.controls.matching import Match
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.levels.tone import ToneStage
from sessions.setups.models import Photo, Placement
from sessions.setups.patching.connections import Connection
from sessions.setups.patching.patch_list import Patching
from sessions.setups.placement.facts import placement_facts
from sessions.setups.signal_path.spine import Wire


@dataclass(frozen=True)
class ControlLine:
    """A control of the unit in use; match is the logged setting that it takes, if any. Of a phantom
    switch, ruling says whom 48 V from it harms, and who needs it: then off is wanted, or on."""

    control: Control
    match: Match | None
    tick: Tick | None
    tone_read_at: datetime | None = None
    ruling: Ruling | None = None
    is_photographed: bool = False
    is_copied: bool = False  # what was logged came with a copy, and was not set
    photos: tuple[Photo, ...] = ()  # it is to be read on one of them; an imported sheet has none

    @property
    def logged(self) -> float | None:
        """Its logged setting on this control's scale."""
        return self.match.value if self.match else None

    @property
    def wanted(self) -> float | None:
        asked = self.ruling and self.ruling.to_advise
        if asked is None:
            return self.logged
        return self.on if asked else self.off

    @property
    def harmed(self) -> tuple[Unit, ...]:
        return self.ruling.harmed if self.ruling else ()

    @property
    def off(self) -> float | None:
        """Of a switch, its value that is off."""
        values = (mark.value for mark in self.control.dial().marks)
        return next((value for value in values if value <= 0), None)

    @property
    def on(self) -> float | None:
        values = (mark.value for mark in self.control.dial().marks)
        return next((value for value in values if value > 0), None)

    @property
    def button(self) -> str:
        """The name that its one button sends; empty where there is nothing to press."""
        if self.wanted is None or self.wanted == self.set_to:
            return ""
        if self.wanted == self.logged:
            return "as_logged"
        return "switch_on" if self.wanted > 0 else "leave_off"

    @property
    def waits_by_ear(self) -> bool:
        """To be set although no button can: its logged value has no place here, or is on a photograph."""
        return (
            self.wanted is None
            and not self.is_set
            and (self.match is not None or self.is_photographed)
        )

    @property
    def why_off(self) -> str:
        """Why it must not be switched on; empty where it may be."""
        if not self.harmed:
            return ""
        words = f"{self.ruling.why_not}: leave it off"
        if self.logged != self.off:
            words += ", or choose another unit"
        if self.set_to == self.off:
            return f"{words}."
        return f"{words}. If it is on, switch it off and let it die away before that is plugged in."

    @property
    def why_on(self) -> str:
        """Why it is to be on although it was not logged so."""
        if self.ruling is None or self.logged == self.wanted or self.set_to == self.wanted:
            return ""
        return self.ruling.why_on

    @property
    def set_to(self) -> float | None:
        return self.tick.value if self.tick else None

    @property
    def is_set(self) -> bool:
        return self.set_to is not None

    @property
    def set_after_tone(self) -> bool:
        """Whether it was set, or its tick taken back, after the tone was read at the stage."""
        return _is_later(self.changed_at, self.tone_read_at)

    @property
    def changed_at(self) -> datetime | None:
        """A meter's reading that is ticked changes nothing."""
        return self.tick.ticked_at if self.tick and not self.control.is_meter else None

    @property
    def shown(self) -> float | None:
        """What the drawing shows: the wanted value, or what was set where none was logged."""
        return self.set_to if self.wanted is None else self.wanted

    @property
    def travel(self) -> Travel | None:
        """How far off it stands: from where it is wanted to where it was set."""
        if self.wanted is None or self.set_to is None:
            return None
        return travel(self.control, self.set_to, was=self.wanted)

    @property
    def is_off(self) -> bool:
        return self.travel is not None and self.travel.is_beyond

    @property
    def off_words(self) -> str:
        """In degrees and in its unit: 15°, +3 dB."""
        if self.travel is None:
            return ""
        if self.wanted == self.set_to:
            if self.logged == self.set_to:
                return "as logged"
            return "switched on" if self.set_to > 0 else "left off"
        return ", ".join(filter(None, (self.travel.words, self.travel.difference)))


@dataclass(frozen=True)
class StageLine:
    """A wanted stage with what stands in for it, which is no saved unit where it is from outside;
    patch_in and patch_out are its jacks."""

    step: RebuildStep
    wanted: WantedStage
    in_use: Unit | None
    controls: tuple[ControlLine, ...]
    unmatched: tuple[str, ...]
    patch_in: PatchPoint | None
    patch_out: PatchPoint | None
    also_in: tuple[str, ...] = ()  # where else it stands, in words

    @property
    def unit(self) -> Unit | None:
        """Of the gear."""
        return self.step.unit

    @property
    def is_from_outside(self) -> bool:
        return self.step.is_from_outside

    def is_of(self, model: GearModel) -> bool:
        """Whether what stands there is of that model."""
        return self.unit.model_id == model.pk if self.unit else self.wanted.is_of(model)

    @property
    def stands_in(self) -> bool:
        """Whether another unit than the logged one is used."""
        return self.unit is not None and self.unit.pk != self.wanted.unit_id

    @property
    def sensitivity(self) -> tuple[str, ...]:
        """How much more or less sensitive what stands in is, which the logged gain knows nothing of."""
        return tuple(sensitivity_words(self.wanted, self.unit)) if self.stands_in else ()

    @property
    def unit_in_words(self) -> str:
        """With its channel, where it is the logged unit: of another one nobody says which."""
        if self.stands_in or self.is_from_outside:
            return f"{self.in_use}"
        return self.wanted.unit_in_words

    @property
    def to_set(self) -> int:
        return sum(line.wanted is not None for line in self.controls)

    @property
    def set_so_far(self) -> int:
        return sum(line.is_set for line in self.controls if line.wanted is not None)

    @property
    def read_now(self) -> ReadNow:
        """The tone at its output, and when any of it was set or chosen last."""
        changes = [self.step.chosen_at, *(line.changed_at for line in self.controls)]
        reading = self.step.tone_reading_dbu
        return ReadNow(
            None if reading is None else float(reading),
            self.step.tone_read_at,
            max((moment for moment in changes if moment), default=None),
            self.standing,
        )

    @property
    def standing(self) -> Standing:
        """What of it a tone meets otherwise than it did."""
        if self.step.is_left_out:
            return Standing(is_left_out=True)
        if self.unit and not self.wanted.is_of(self.unit.model):
            return Standing(through=self._as_set(self.unit.model.category), words="another unit")
        switched = (
            line.control.meaning == Meaning.BYPASS and line.is_set and line.set_to != line.logged
            for line in self.controls
        )
        if any(switched):
            return Standing(
                through=self._as_set(self.wanted.category), words="bypassed otherwise than logged"
            )
        return AS_LOGGED

    def _as_set(self, category: str) -> ToneStage:
        """What is not set yet counts as it is wanted."""
        now = {
            line.control.key: line.set_to if line.is_set else line.wanted for line in self.controls
        }
        settings = {key: value for key, value in now.items() if value is not None}
        controls = StageControls([line.control for line in self.controls], settings)
        return ToneStage(category, self.wanted.is_printed, controls)


@dataclass(frozen=True)
class ChainChecklist:
    """`harmed`: what phantom power in it can damage, also by an input that shares its switch."""

    wanted: WantedChain
    stages: tuple[StageLine, ...]
    connections: tuple[Connection, ...]
    harmed: tuple[Unit, ...]
    wires: dict[int | None, Wire] = field(default_factory=dict)

    @property
    def places(self) -> list[tuple[StageLine, Wire | None]]:
        """Each stage with what feeds it."""
        return [(line, self.wires.get(line.wanted.position)) for line in self.stages]

    @property
    def out(self) -> Wire | None:
        return self.wires.get(None)

    @cached_property
    def tone(self) -> ChainTone:
        return chain_tone(self.wanted, {line.step.position: line.read_now for line in self.stages})

    @cached_property
    def with_tone(self) -> list[tuple[StageLine, StageTone]]:
        """The stages that the tone goes through, also those that are left out now."""
        pairs = ((line, self.tone.at(line.step.position)) for line in self.stages)
        return [(line, tone) for line, tone in pairs if tone]

    @property
    def tone_goes_into(self) -> StageLine | None:
        return next((line for line, _ in self.with_tone if line.in_use), None)

    @property
    def in_use(self) -> list[StageLine]:
        return [line for line in self.stages if line.in_use]

    @property
    def first_out(self) -> tuple[StageLine, StageTone] | None:
        """Where the tone first reads other than it ought, on the printed path."""
        found = self.tone.first_out
        return next((pair for pair in self.with_tone if pair[1] is found), None)

    @property
    def placement_facts(self) -> list[tuple[str, str]]:
        placement = self.wanted.placement
        return placement_facts(Placement(**placement)) if placement else []


@dataclass(frozen=True)
class Checklist:
    rebuild: Rebuild
    chains: tuple[ChainChecklist, ...]
    patching: Patching

    @property
    def stages(self) -> list[StageLine]:
        return [line for chain in self.chains for line in chain.stages]

    @property
    def from_outside(self) -> list[StageLine]:
        """The first line of each unit that isn’t in the gear."""
        lines = {line.in_use.pk: line for line in reversed(self.stages) if line.is_from_outside}
        return list(reversed(lines.values()))

    @property
    def to_set(self) -> int:
        return sum(line.to_set for line in self.stages)

    @property
    def set_so_far(self) -> int:
        return sum(line.set_so_far for line in self.stages)

    @property
    def to_read_again(self) -> int:
        """Readings of the tone that something was set after."""
        return sum(len(chain.tone.to_read_again) for chain in self.chains)

    @property
    def off(self) -> int:
        return sum(control.is_off for line in self.stages for control in line.controls)


def _is_later(moment: datetime | None, than: datetime | None) -> bool:
    return moment is not None and than is not None and moment > than
