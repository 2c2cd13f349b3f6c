"""The controls that are changed while tracking, as the tracking page shows them."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from gear.audio.steps import step_from
from gear.panels.models import Control
from gear.panels.reading import ControlReading, read_control
from sessions.setups.chains.fields import SettingField
from sessions.setups.chains.forms import CONTROL
from sessions.setups.editor.keys import stage_keys
from sessions.setups.models import Chain, Revision, Stage


@dataclass(frozen=True)
class Pinned:
    """A control of a unit in a chain: where it stands, and what one press sets it to."""

    chain: Chain
    stage: Stage
    key: str  # of the stage, by `stage_keys`
    control: Control

    @property
    def name(self) -> str:
        """Of its field in the form of its stage."""
        return f"{CONTROL}{self.control.key}"

    @property
    def html_id(self) -> str:
        return f"pin-{self.chain.pk}-{self.key}-{self.control.key}"

    @cached_property
    def field(self) -> SettingField:
        return SettingField(self.control)

    @property
    def value(self) -> float | None:
        return self.stage.setting(self.control)

    @property
    def is_copied(self) -> bool:
        """Not yet set; to set it to the same value says that it is."""
        return self.control.key in self.stage.not_yet_set

    @property
    def reading(self) -> ControlReading:
        return read_control(self.control, self.value)

    @property
    def was(self) -> str:
        """What the form sends back as what its presser saw."""
        return "" if self.value is None else self.field.prepare_value(self.value)

    @property
    def lower(self) -> str:
        return self._stepped(-1)

    @property
    def higher(self) -> str:
        return self._stepped(1)

    @property
    def marks(self) -> list[str]:
        """What is engraved, as it is typed."""
        return [self.field.prepare_value(mark.value) for mark in self.field.dial.marks]

    def _stepped(self, way: int) -> str:
        to = None if self.value is None else step_from(self.field.dial, self.value, way)
        return "" if to is None else self.field.prepare_value(to)


def pinned_controls(revisions: Iterable[Revision]) -> list[Pinned]:
    """Of these chains, each in signal order. Costs no query where they are loaded `with_stages`."""
    return [
        Pinned(revision.chain, stage, key, control)
        for revision in revisions
        if revision.chain.pinned
        for key, stage in stage_keys(revision.stages.all()).items()
        for control in stage.controls()
        if [key, control.key] in revision.chain.pinned
    ]


def pinned_at(revision: Revision, key: str, control: str) -> Pinned | None:
    """A control by the key of its stage and its own, pinned or not; None where the chain has none."""
    stage = stage_keys(revision.stages.all()).get(key)
    for each in stage.controls() if stage else ():
        if each.key == control:
            return Pinned(revision.chain, stage, key, each)
    return None
