"""The input list as papers print it: from the box in the room to the recorded track."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from gear.equipment.phantom import HEARS, NEEDED, NOT_NEEDED
from gear.patchbay.models import PatchPoint, TieLine
from sessions.bookings.models import RecordingSession
from sessions.setups.chains.phantom import phantom_words
from sessions.setups.grouping.lines import GroupLine, groups_of
from sessions.setups.input_list.lines import line_of
from sessions.setups.models import Chain, GroupFacts, Revision, Setup, Stage


@dataclass(frozen=True)
class InputLine:
    """A chain as it stands now, `revision`. `first` is its microphone or DI box, `then` what follows on the
    printed path, `cells` what the columns of the list say."""

    revision: Revision
    cells: dict[str, str]
    first: Stage | None
    then: tuple[Stage, ...]
    phantom: str

    @property
    def chain(self) -> Chain:
        return self.revision.chain

    @property
    def group(self) -> GroupFacts | None:
        return GroupFacts.of(self.chain)

    @property
    def not_yet_set(self) -> list[tuple[str, str]]:
        """By unit, the controls that were copied and are not yet set."""
        return [
            (stage.facts.unit.tag, ", ".join(control.label for control in controls))
            for stage in self.revision.stages.all()
            if (controls := stage.controls_not_yet_set())
        ]

    @property
    def phantom_beside(self) -> str:
        """What the record says of 48 V beside how the switch was logged: harm always, that it is
        needed where it is not on."""
        logged = self.cells["phantom"].casefold()
        if self.phantom == NEEDED:
            return "" if logged == "on" else "needs 48 V"
        return "" if logged and self.phantom == NOT_NEEDED else self.phantom


@dataclass(frozen=True)
class InputList:
    setup: Setup
    lines: tuple[InputLine, ...]
    groups: tuple[GroupLine, ...]


def input_lists(session: RecordingSession) -> list[InputList]:
    """In the order of the day, in a constant number of queries."""
    setups = list(Setup.objects.filter(session=session).with_chains().prefetch_related("groups"))
    revisions = [chain.newest_revision() for setup in setups for chain in setup.chains.all()]
    place = _places(revisions)
    return [_input_list(setup, revisions, place) for setup in setups]


def _input_list(
    setup: Setup, in_session: list[Revision], place: Callable[[PatchPoint], str]
) -> InputList:
    ours = [revision for revision in in_session if revision.chain.setup_id == setup.pk]
    return InputList(
        setup,
        tuple(_line(revision, in_session, place) for revision in ours),
        tuple(groups_of(setup.groups.all(), ours)),
    )


def _line(
    revision: Revision, beside: Iterable[Revision], place: Callable[[PatchPoint], str]
) -> InputLine:
    stages = [stage for stage in revision.stages.all() if stage.is_printed]
    first = next((stage for stage in stages if stage.unit.model.category in HEARS), None)
    return InputLine(
        revision,
        line_of(revision, place),
        first,
        tuple(stage for stage in stages if stage is not first),
        phantom_words(revision, beside),
    )


def _places(revisions: Iterable[Revision]) -> Callable[[PatchPoint], str]:
    """What names a jack on paper: the box and line in the room where it has one, else its place."""
    points = [stage.patch_out_id for revision in revisions for stage in revision.stages.all()]
    boxes = {line.point_id: line for line in TieLine.objects.filter(point__in=filter(None, points))}
    return lambda point: f"{boxes[point.pk]}" if point.pk in boxes else point.name
