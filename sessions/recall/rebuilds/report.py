"""What a rebuild differs in from what was logged."""

from dataclasses import dataclass

from django.utils import timezone
from django.utils.formats import date_format

from gear.audio.values import setting_text
from gear.panels.reading import NOT_LOGGED, PHOTOGRAPHED
from sessions.recall.rebuilds.lines import ChainChecklist, Checklist, ControlLine, StageLine
from sessions.recall.rebuilds.no_signal import NoSignal, no_signal_in
from sessions.recall.rebuilds.pairs import RebuiltGroup, groups_of
from sessions.setups.models import Revision

NOT_SET = "not set"


@dataclass(frozen=True)
class Difference:
    """One control of one stage: logged, set, and how far off; within tolerance or not."""

    label: str
    logged: str
    set_to: str
    words: str
    within: bool


@dataclass(frozen=True)
class StageReport:
    line: StageLine
    unit_words: str
    differences: tuple[Difference, ...]

    @property
    def alike(self) -> bool:
        """The same unit, everything set as it was logged."""
        return bool(self.line.in_use) and not (self.line.stands_in or self.differences)


@dataclass(frozen=True)
class ChainReport:
    checklist: ChainChecklist
    stages: tuple[StageReport, ...]
    rebuilt: Revision | None


@dataclass(frozen=True)
class RebuildReport:
    checklist: Checklist
    chains: tuple[ChainReport, ...]
    groups: tuple[RebuiltGroup, ...]

    @property
    def no_signal(self) -> list[NoSignal]:
        return no_signal_in(self.checklist)

    @property
    def summary(self) -> list[tuple[str, str]]:
        checklist = self.checklist
        stages = [stage for chain in self.chains for stage in chain.stages]
        other = sum(stage.line.stands_in for stage in stages)
        without = sum(stage.line.step.is_left_out for stage in stages)
        return [
            ("Controls set", f"{checklist.set_so_far} of {checklist.to_set} that were logged"),
            ("Out of tolerance", str(checklist.off)),
            ("Tone", _tone(checklist)),
            ("Units", str(len(stages))),
            ("Replaced by another unit", str(other)),
            ("From outside, not in the gear", str(len(checklist.from_outside))),
            ("Left out", str(without)),
            ("Started", f"{_when(checklist.rebuild.started_at)}, {checklist.rebuild.started_by}"),
            ("Finished", _finished(checklist)),
        ]


def rebuild_report(checklist: Checklist) -> RebuildReport:
    return RebuildReport(
        checklist,
        tuple(_chain(chain) for chain in checklist.chains),
        tuple(groups_of(checklist.chains)),
    )


def _when(moment) -> str:
    return date_format(timezone.localtime(moment), "DATETIME_FORMAT")


def _finished(checklist: Checklist) -> str:
    if not checklist.rebuild.is_finished:
        return "not yet"
    return f"{_when(checklist.rebuild.finished_at)}, {checklist.rebuild.finished_by}"


def _tone(checklist: Checklist) -> str:
    tones = [chain.tone for chain in checklist.chains]
    if not any(tone.is_read for tone in tones):
        return "not read"
    out = sum(chain.first_out is not None for chain in checklist.chains)
    read, units = (
        sum(len(each) for each in found)
        for found in ([tone.read for tone in tones], [tone.in_use for tone in tones])
    )
    said = [
        f"read at {read} of {units} units",
        f"in {sum(tone.is_read for tone in tones)} of {len(tones)} chains",
        f"{out or 'none'} out",
    ]
    if checklist.to_read_again:
        said.append(f"{checklist.to_read_again} set since")
    return ", ".join(said)


def _chain(checklist: ChainChecklist) -> ChainReport:
    rebuilt = (line.step.rebuilt.revision for line in checklist.stages if line.step.rebuilt_id)
    return ChainReport(
        checklist=checklist,
        stages=tuple(_stage(line) for line in checklist.stages),
        rebuilt=next(rebuilt, None),
    )


def _stage(line: StageLine) -> StageReport:
    told = _is_known if line.is_from_outside else _differs
    differences = [_difference(control) for control in line.controls if told(control)]
    differences += [_unmatched(control) for control in line.controls if _stands_apart(control)]
    return StageReport(line, _unit_words(line), tuple(differences))


def _unit_words(line: StageLine) -> str:
    if line.step.is_left_out:
        return "left out"
    if line.is_from_outside:
        return line.step.outside_unit or "a unit that is not in the gear"
    return f"{line.unit}" if line.stands_in else "the unit itself"


def _is_known(line: ControlLine) -> bool:
    """Of what no setup keeps, the report keeps all that was logged, and how it was set."""
    return line.logged is not None


def _differs(line: ControlLine) -> bool:
    return line.logged is not None and (line.logged != line.set_to or line.is_off)


def _stands_apart(line: ControlLine) -> bool:
    """Set by ear, since its logged value has no place on this control, or none was logged."""
    return line.logged is None and line.is_set


def _difference(line: ControlLine) -> Difference:
    return Difference(
        label=line.control.label,
        logged=_text(line, line.logged),
        set_to=_text(line, line.set_to) if line.is_set else NOT_SET,
        words=line.off_words or NOT_SET,
        within=line.is_set and not line.is_off,
    )


def _unmatched(line: ControlLine) -> Difference:
    return Difference(
        label=line.control.label,
        logged=_not_on_scale(line),
        set_to=_text(line, line.set_to),
        words="can’t be matched" if line.match else "set by ear",
        within=line.match is None,
    )


def _not_on_scale(line: ControlLine) -> str:
    if line.match:
        return line.match.logged_text
    return PHOTOGRAPHED if line.is_photographed else NOT_LOGGED


def _text(line: ControlLine, value: float) -> str:
    return setting_text(value, line.control.dial(), line.control.unit)
