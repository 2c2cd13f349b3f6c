"""A stage as a sheet prints it: the unit, every control as it was set, curves and levels."""

from collections.abc import Container, Iterable
from dataclasses import dataclass
from itertools import groupby

from gear.panels.models import Control
from gear.panels.reading import ControlReading, positions_in_words, read_control
from sessions.setups.controls.curves import Curve, stage_curves
from sessions.setups.levels.plan import StagePlan
from sessions.setups.models import Stage
from sessions.setups.models.snapshot import ChangedSince
from sessions.setups.signal_path.levels import level_figures

BRIEF = 3  # controls


@dataclass(frozen=True)
class ControlSetting:
    """A control as it was set, to be drawn and read."""

    control: Control
    value: float | None
    reading: ControlReading
    is_photographed: bool = False
    is_copied: bool = False

    @property
    def is_meter(self) -> bool:
        """Whether its value was read, and is nothing to set."""
        return self.control.is_meter

    @property
    def positions(self) -> str:
        return positions_in_words(self.control, self.value)


@dataclass(frozen=True)
class ControlGroup:
    name: str
    controls: tuple[ControlSetting, ...]

    @property
    def first_label(self) -> str:
        """Of its first control, without the group's name, which stands before it."""
        label = f"{self.controls[0].reading.label} "
        return label.removeprefix(f"{self.name} ") if self.name else label


@dataclass(frozen=True)
class StageSheet:
    """One unit with every control of its panel in signal order."""

    stage: Stage
    groups: tuple[ControlGroup, ...]
    curves: tuple[Curve, ...]
    plan: StagePlan

    @property
    def is_brief(self) -> bool:
        """Whether its controls have room beside its name."""
        controls = sum(len(group.controls) for group in self.groups)
        return controls <= BRIEF and not any(curve.plot for curve in self.curves)

    @property
    def standing_today(self) -> str:
        """Where the unit is today, if it is not in service."""
        unit = self.stage.unit
        return "" if unit.is_in_service else unit.standing

    @property
    def changed_since(self) -> list[ChangedSince]:
        """What today's record says of it otherwise than was kept."""
        return self.stage.changed_since()

    @property
    def levels(self) -> list[tuple[str, str]]:
        """How strong the signal leaves it: name and figure."""
        plan = self.plan
        return level_figures(
            plan.out_dbu, plan.read_dbu, self.stage.tone_reading_dbu, plan.headroom_db
        )

    @property
    def difference_db(self) -> float | None:
        """How far what was read is above what is calculated."""
        return self.plan.difference_db


def stage_sheet(plan: StagePlan) -> StageSheet:
    """The stage of a level plan."""
    stage = plan.stage
    return StageSheet(
        stage=stage,
        groups=control_groups(
            ((control, stage.setting(control)) for control in stage.controls()),
            stage.photographed,
            stage.not_yet_set,
        ),
        curves=tuple(stage_curves(stage)),
        plan=plan,
    )


def control_groups(
    settings: Iterable[tuple[Control, float | None]],
    photographed: Container[str] = (),
    not_yet_set: Container[str] = (),
) -> tuple[ControlGroup, ...]:
    """The controls of a panel as they were set, by its groups, in signal order."""
    made = (
        ControlSetting(
            control,
            value,
            read_control(control, value),
            control.key in photographed,
            control.key in not_yet_set,
        )
        for control, value in settings
    )
    groups = groupby(made, key=lambda setting: setting.control.group)
    return tuple(ControlGroup(name, tuple(inside)) for name, inside in groups)
