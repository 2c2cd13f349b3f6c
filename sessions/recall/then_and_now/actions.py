from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from gear.acting import action
from gear.audio.proving.three_tones.layout import ThreeTones
from sessions.recall.models import Rebuild, RebuildStep, Tick
from sessions.recall.proving.actions import begin_through, undo
from sessions.recall.proving.feeding import feed_through
from sessions.recall.proving.models import Measurement
from sessions.recall.rebuilds.actions import refuse_finished, tick_control
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.then_and_now.standing import standing_stages
from sessions.recall.then_and_now.turns import Turned


@dataclass(frozen=True)
class Set:
    """A control of a stage that was set to a value; seen: the version of its tick before that, 0 for none."""

    step: RebuildStep
    key: str
    value: float
    seen: int


@action
def log_turns(turns: Iterable[Set], *, by) -> None:
    """All of them, or none. Raises EditedMeanwhile, RebuildRefused and Harmful as `tick_control` does."""
    for turn in turns:
        tick_control(turn.step, key=turn.key, value=turn.value, seen=turn.seen, by=by)


@action
def begin_rebuilt(
    rebuild: Rebuild,
    number: int,
    *,
    seen: str,
    pad_db: Decimal,
    fed_dbu: Decimal,
    by,
    up_to: int | None = None,
    cable: Measurement | None = None,
    tones: Callable[[int, float], ThreeTones] | None = None,
) -> Measurement:
    """A measurement of a chain of the rebuild, whose cautions `by` has confirmed; tones: see `begin_through`.
    Raises ChangedMeanwhile, and RebuildRefused where it is finished."""
    refuse_finished(rebuild.pk)
    chain = next(each for each in checklist_of(rebuild).chains if each.wanted.number == number)
    project = rebuild.song.project
    return begin_through(
        feed_through(standing_stages(chain), float(project.full_scale_dbu), up_to=up_to),
        seen=seen,
        rate_hz=project.sample_rate,
        pad_db=pad_db,
        fed_dbu=fed_dbu,
        tones=tones,
        cable=cable,
        by=by,
        rebuild=rebuild,
        chain_number=number,
        up_to=up_to,
    )


@action
def undo_round(measurement: Measurement, *, turned: Sequence[Turned], by) -> list[Turned]:
    """Strike the measurement out, and log that what was turned before it stands again as it did, as far as
    nobody set it otherwise since. Answers with what is to be turned back.

    Raises RebuildRefused where the rebuild is finished, and NotTaken where that was undone already.
    """
    refuse_finished(measurement.rebuild_id)
    undo(measurement, by=by)
    ticks = _ticks(measurement.rebuild, measurement.chain_number)
    back = []
    for each in turned:
        tick = ticks.get((each.stage.step.pk, each.line.control.key))
        if tick and tick.value == each.to:
            tick_control(tick.step, key=tick.key, value=each.was, seen=tick.version, by=by)
            back.append(each)
    return back


def _ticks(rebuild: Rebuild, number: int) -> dict[tuple[int, str], Tick]:
    found = Tick.objects.filter(step__rebuild=rebuild, step__chain_number=number)
    return {(tick.step_id, tick.key): tick for tick in found.select_related("step")}
