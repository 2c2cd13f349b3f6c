"""What a mix was made through, as its page and its paper show it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from gear.panels.reading import read_control
from sessions.deliverables.mixes.lines import sends_text
from sessions.deliverables.mixes.models import FADER, PAN, MixInsert, MixRevision, MixStrip
from sessions.deliverables.mixes.tracking import heard_only
from sessions.deliverables.mixes.warnings import gives_phantom, mix_cautions, mix_warnings
from sessions.setups.controls.curves import Curve, stage_curves
from sessions.setups.models.snapshot import UnitFacts
from sessions.setups.signal_path.units import (
    BRIEF,
    ControlGroup,
    ControlSetting,
    control_groups,
)
from sessions.setups.warnings.cautions import ChainCaution
from sessions.setups.warnings.warning import Warning


@dataclass(frozen=True)
class InsertSheet:
    """`heard_on`: the chains on which it was monitor only while the songs were tracked."""

    insert: MixInsert
    number: int
    groups: tuple[ControlGroup, ...]
    curves: tuple[Curve, ...]
    heard_on: tuple[str, ...]

    @property
    def is_brief(self) -> bool:
        """Whether its controls have room beside its name."""
        controls = sum(len(group.controls) for group in self.groups)
        return controls <= BRIEF and not any(curve.plot for curve in self.curves)

    @property
    def gives_phantom(self) -> bool:
        return gives_phantom(self.insert)


@dataclass(frozen=True)
class StripSheet:
    """A strip with its fader and pan as controls; `fed_by` are the sends that reach a return."""

    strip: MixStrip
    number: int
    controls: tuple[ControlSetting, ...]
    inserts: tuple[InsertSheet, ...]
    fed_by: tuple[str, ...]

    @property
    def sends_text(self) -> str:
        return sends_text(self.strip)


@dataclass(frozen=True)
class NeededUnit:
    """Beside what is switched on stands how long it must be on before it is used."""

    unit: UnitFacts
    strips: tuple[str, ...]
    warm_up_minutes: int


@dataclass(frozen=True)
class MixSheet:
    revision: MixRevision
    strips: tuple[StripSheet, ...]
    units: tuple[NeededUnit, ...]
    cautions: tuple[ChainCaution, ...]
    warnings: tuple[Warning, ...]

    @property
    def songs(self) -> str:
        return ", ".join(map(str, self.revision.setup.songs.all()))

    @property
    def heard_only(self) -> list[InsertSheet]:
        return [each for strip in self.strips for each in strip.inserts if each.heard_on]

    @property
    def facts(self) -> list[tuple[str, str]]:
        """Name and value, empty where it was not logged."""
        revision, project = self.revision, self.revision.setup.project
        return [
            ("Artist", project.artist),
            ("Project", project.name),
            ("Songs", self.songs),
            ("Workstation", revision.workstation),
            ("Monitor level", revision.monitor_level),
            ("Printed through", revision.print_input),
            ("Printed as", revision.printed_as),
        ]


def mix_sheet(revision: MixRevision) -> MixSheet:
    """Of a revision loaded `with_strips`, in one more query."""
    heard = heard_only(revision)
    sends = [(send, strip) for strip in revision.strips.all() for send in strip.sends.all()]
    strips, number = [], 0
    for place, strip in enumerate(revision.strips.all(), 1):
        inserts = []
        for insert in strip.inserts.all():
            number += 1
            inserts.append(_insert_sheet(insert, number, heard))
        fed = [
            " ".join(filter(None, (str(origin), send.level, send.get_tap_display())))
            for send, origin in sends
            if send.to == strip.name
        ]
        strips.append(StripSheet(strip, place, _strip_controls(strip), tuple(inserts), tuple(fed)))
    return MixSheet(
        revision=revision,
        strips=tuple(strips),
        units=tuple(_needed(strips)),
        cautions=tuple(mix_cautions(revision)),
        warnings=tuple(mix_warnings(revision)),
    )


def _insert_sheet(insert: MixInsert, number: int, heard: dict) -> InsertSheet:
    settings = ((control, insert.setting(control)) for control in insert.controls())
    return InsertSheet(
        insert,
        number,
        control_groups(settings, not_yet_set=insert.not_yet_set),
        tuple(stage_curves(insert)),
        tuple(heard.get((insert.unit_id, insert.channel), ())),
    )


def _strip_controls(strip: MixStrip) -> tuple[ControlSetting, ...]:
    """The figure of a fader counts: its travel differs from console to console."""
    fader = replace(read_control(FADER, strip.fader_db), clock_text="")
    pan = read_control(PAN, strip.pan)
    if strip.pan is not None:
        pan = replace(pan, value_text=strip.pan_text)
    return ControlSetting(FADER, strip.fader_db, fader), ControlSetting(PAN, strip.pan, pan)


def _needed(strips: Iterable[StripSheet]) -> list[NeededUnit]:
    """What must warm up first, then as the signal goes; each unit once, with its supply."""
    units, places = {}, {}
    for sheet in strips:
        for each in sheet.inserts:
            unit = each.insert.facts.unit
            for one in filter(None, (unit.supply, unit)):
                units[one.pk] = replace(one, channel=None)
                places.setdefault(one.pk, {})[sheet.strip.name] = None
    needed = [
        NeededUnit(unit, tuple(places[key]), unit.model.warm_up_minutes)
        for key, unit in units.items()
    ]
    return sorted(needed, key=lambda each: -each.warm_up_minutes)
