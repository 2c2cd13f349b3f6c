"""Which controls would bring a rebuilt chain back to what it did, by what its panels are logged to be set to."""

from collections.abc import Sequence
from dataclasses import asdict, replace
from datetime import datetime
from functools import partial
from itertools import pairwise

from gear.audio.proving.explaining.explain import explain
from gear.audio.proving.explaining.model import Model
from gear.audio.proving.explaining.proposal import Explanation, Proposal
from sessions.recall.imported.shown.things import related
from sessions.recall.models import Rebuild
from sessions.recall.proving.harm import harm_in
from sessions.recall.proving.knobs import UnitSet, model_of, place_of
from sessions.recall.rebuilds.lines import ChainChecklist, ControlLine, StageLine
from sessions.recall.sound.rounds import Round
from sessions.recall.then_and_now.points import Point, through
from sessions.recall.then_and_now.standing import standing_stages
from sessions.recall.then_and_now.turns import Ticked, values_at
from sessions.recall.then_and_now.ways import Proposed, Turn, Way
from sessions.setups.models import Revision
from sessions.setups.models.recording_format import RecordingFormat

#: So many rounds before the newest teach how the controls answer: each costs a search of its own.
_ROUNDS_BEFORE = 2

Lines = dict[tuple[int, str], tuple[StageLine, ControlLine]]


def proposed_for(
    rebuild: Rebuild,
    chain: ChainChecklist,
    point: Point,
    ticks: Sequence[Ticked],
    tolerance_db: float,
) -> Proposed | None:
    """None where there is nothing to explain: nothing measured, all agrees, or something was set since. Takes
    seconds. ticks: the history of the chain's, the oldest first."""
    if point.agrees is not False:
        return None
    units = [line for line in through(chain) if point.reaches(line)]
    lines = {
        (line.wanted.position, each.control.key): (line, each)
        for line in units
        for each in line.controls
    }
    harm = harm_in(_revision(rebuild, chain), standing_stages(chain), point.newest.now.fed_dbu)
    search = partial(explain, then=point.then.in_dbu, tolerance_db=tolerance_db, harm=harm)
    standing = [each for each in point.rounds if not each.measurement.is_undone]
    earlier: list[Proposal] = []
    for before, after in pairwise(standing[-_ROUNDS_BEFORE - 1 :]):
        set_then, set_after = (values_at(ticks, _at(each)) for each in (before, after))
        found = search(_model(units, set_then), now=before.now.in_dbu, earlier=earlier)
        if done := _done(found, lines, set_after):
            earlier.append(replace(found, best=done))
    model = _model(units, values_at(ticks, _at(point.newest)))
    found = search(model, now=point.newest.now.in_dbu, earlier=earlier)
    alternatives, withheld = (
        tuple(_way(each, lines) for each in some) for some in (found.alternatives, found.withheld)
    )
    return Proposed(found, found.best and _way(found.best, lines), alternatives, withheld)


def _at(each: Round) -> datetime:
    return each.measurement.measured_at


def _model(units: Sequence[StageLine], values: dict[tuple[int, str], float | None]) -> Model:
    return model_of([_as_set(line, values) for line in units])


def _as_set(line: StageLine, values: dict[tuple[int, str], float | None]) -> UnitSet:
    controls = [each.control for each in line.controls]
    then = {each.control.key: each.logged for each in line.controls if each.logged is not None}
    now = {key: value for key in then if (value := values.get((line.step.pk, key))) is not None}
    return UnitSet(line.wanted.position, controls, then, now)


def _done(
    found: Proposal, lines: Lines, values: dict[tuple[int, str], float | None]
) -> Explanation | None:
    """The way of those that were proposed by which all was set before the next measurement."""
    for explanation in (found.best, *found.alternatives):
        if explanation and all(_is_set(turn, values) for turn in _way(explanation, lines).turns):
            return explanation
    return None


def _is_set(turn: Turn, values: dict[tuple[int, str], float | None]) -> bool:
    return values.get((turn.stage.step.pk, turn.control.key)) == turn.goal


def _revision(rebuild: Rebuild, chain: ChainChecklist) -> Revision:
    """Of an imported chain: one whose source nobody knows the level of."""
    if chain.wanted.revision:
        return chain.wanted.revision
    project = rebuild.song.project
    revision = Revision(format=asdict(RecordingFormat.of(project, clock="", click="")))
    related(revision, stages=standing_stages(chain))
    return revision


def _way(explanation: Explanation, lines: Lines) -> Way:
    found = ((lines[place_of(move.key)], move) for move in explanation.moves)
    return Way(tuple(Turn(stage, line, move) for (stage, line), move in found), explanation)
