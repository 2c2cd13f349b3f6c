"""What a rebuild sets up again: stages as they were logged, here or in another studio."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from decimal import Decimal

from gear.equipment.models import GearModel
from gear.panels.models import Control
from gear.panels.reading import read_control
from gear.patchbay.models import PatchPoint
from sessions.setups.models import (
    GroupFacts,
    Photo,
    Placement,
    Revision,
    SourceFacts,
    Stage,
)
from sessions.setups.models.chains import ARROW
from sessions.songs.models import Part


@dataclass(frozen=True)
class WantedStage:
    """A stage as it was logged. Those of another studio have no keys, and points in words only."""

    position: int
    path: str
    model: str
    tag: str
    category: str
    panel_version: int | None
    controls: tuple[Control, ...]
    settings: dict[str, float]
    note: str = ""
    tone_reading_dbu: Decimal | None = None
    serial_number: str = ""
    patched: str = ""
    unit_id: int | None = None
    model_id: int | None = None
    patch_in: PatchPoint | None = None
    patch_out: PatchPoint | None = None
    stage_id: int | None = None
    channel: int | None = None
    photographed: frozenset[str] = frozenset()  # keys of controls that were, and were not logged
    photos: tuple[Photo, ...] = ()
    not_yet_set: frozenset[str] = frozenset()  # keys of controls that were copied, and not set
    model_facts: dict = field(default_factory=dict)  # under the names of `GearModel`

    def is_of(self, model: GearModel) -> bool:
        """Whether it was of that model: one from elsewhere is known by the name on it."""
        if self.model_id:
            return model.pk == self.model_id
        return str(model).casefold() == self.model.casefold()

    @property
    def unit_in_words(self) -> str:
        """P-01/3: channel 3 of it."""
        channel = f"/{self.channel}" if self.channel else ""
        return f"{self.model} ({self.tag}{channel})" if self.tag else self.model

    @property
    def is_printed(self) -> bool:
        return self.path == "printed"

    def logged(self) -> list[tuple[Control, float]]:
        """The controls that were logged, in signal order."""
        found = [(control, self.settings.get(control.key)) for control in self.controls]
        return [(control, value) for control, value in found if value is not None]


@dataclass(frozen=True)
class WantedChain:
    number: int
    source: str
    track: str
    destination_input: str
    stages: tuple[WantedStage, ...]
    revision_number: int
    parts: tuple[Part, ...] = ()
    parts_in_words: str = ""
    placement: dict = field(default_factory=dict)
    source_words: tuple[tuple[str, str], ...] = ()
    tone_hz: Decimal | None = None
    tone_dbu: Decimal | None = None
    readings_from: int | None = None
    revision: Revision | None = None
    group: GroupFacts | None = None

    def __str__(self) -> str:
        return f"{self.source}{ARROW}{self.track}, revision {self.revision_number}"


def chain_of_revision(revision: Revision, number: int) -> WantedChain:
    """Of a revision loaded `with_stages`; then no query."""
    chain = revision.chain
    placement = getattr(revision, "placement", None)
    return WantedChain(
        number=number,
        source=revision.source_facts.name,
        track=chain.track,
        destination_input=chain.destination_input,
        stages=tuple(_stage(stage) for stage in revision.stages.all()),
        revision_number=revision.number,
        parts=tuple(chain.parts.all()),
        parts_in_words=chain.parts_in_words,
        placement=_placed(placement) if placement else {},
        source_words=source_words(revision.source_facts),
        tone_hz=revision.tone_hz,
        tone_dbu=revision.tone_dbu,
        readings_from=revision.readings_from,
        revision=revision,
        group=revision.group_facts,
    )


def source_words(facts: SourceFacts) -> tuple[tuple[str, str], ...]:
    """What is known of the source, and how its amplifier was set, in words."""
    settings = [(control, facts.setting(control)) for control in facts.controls()]
    said = [
        f"{control.label} {read_control(control, value).value_text}"
        for control, value in settings
        if value is not None
    ]
    return (*facts.in_words, *([("amplifier set", ", ".join(said))] if said else []))


def chains_of_revisions(revisions: Iterable[Revision]) -> list[WantedChain]:
    return [chain_of_revision(revision, number) for number, revision in enumerate(revisions, 1)]


def _stage(stage: Stage) -> WantedStage:
    unit = stage.facts.unit
    points = [("in", stage.facts.patch_in), ("out", stage.facts.patch_out)]
    return WantedStage(
        position=stage.position,
        path=stage.path,
        model=str(unit.model),
        tag=unit.asset_tag,
        serial_number=unit.serial_number,
        category=unit.model.category,
        panel_version=stage.panel.version if stage.panel else None,
        controls=tuple(stage.controls()),
        settings=stage.settings,
        note=stage.note,
        tone_reading_dbu=stage.tone_reading_dbu,
        patched=", ".join(f"{way} at {point}" for way, point in points if point),
        unit_id=stage.unit_id,
        model_id=stage.unit.model_id,
        patch_in=stage.patch_in,
        patch_out=stage.patch_out,
        stage_id=stage.pk,
        channel=stage.channel,
        photographed=stage.photographed,
        photos=tuple(stage.photos_in_force),
        not_yet_set=frozenset(stage.not_yet_set),
        model_facts=asdict(unit.model) | _today(stage.unit.model),
    )


def _today(model: GearModel) -> dict:
    """What can hurt something is asked of today's record."""
    return {
        "phantom": model.phantom_need,
        "own_supply": model.needs_supply,
        "channels": model.channels,
        "phantom_bank": model.phantom_bank,
    }


def _placed(placement: Placement) -> dict:
    return {name: getattr(placement, name) for name in Placement.FACTS}
