"""The way of a signal, from the source to the recorded track, as it is drawn."""

from dataclasses import dataclass, replace

from gear.audio.level_text import level_text
from gear.audio.values import format_value
from sessions.setups.levels.plan import LevelPlan, StagePlan
from sessions.setups.models import Path, Revision, Stage

SOURCE = "source"
TRACK = "track"


@dataclass(frozen=True)
class Step:
    """One box of the drawing, with the monitor-only stages that hang from it, each from the one before.

    kind is "source", "track", "printed" or "monitor only"; number is the stage's, None at the ends.
    level says in words how strong the signal leaves it, empty where that is not known.
    """

    name: str
    detail: str
    kind: str
    number: int | None = None
    level: str = ""
    beside: tuple["Step", ...] = ()


def signal_path(revision: Revision, levels: LevelPlan) -> tuple[Step, ...]:
    """The recorded way: source, printed stages, track. What is only monitored stands beside it.

    A monitor-only stage is fed by whatever stands before it (`patching.connections`). Reads a
    revision loaded `with_stages`, and then costs no query.
    """
    chain = revision.chain
    way = [(Step(chain.source, "", SOURCE, level=levels.source or ""), [])]
    for planned in levels.stages:
        if planned.stage.is_printed:
            way.append((_step(planned), []))
        else:
            way[-1][1].append(_step(planned))
    track = Step(chain.track, chain.destination_input, TRACK, level=_at_track(levels))
    return tuple(replace(step, beside=tuple(beside)) for step, beside in [*way, (track, [])])


def path_word(stage: Stage) -> str:
    """printed, or monitor only."""
    return Path(stage.path).label.lower()


def _step(planned: StagePlan) -> Step:
    stage = planned.stage
    return Step(
        f"{stage.facts.unit.model}",
        stage.facts.unit.tag,
        path_word(stage),
        stage.position,
        _leaving(planned),
    )


def _leaving(planned: StagePlan) -> str:
    """out +4 dBu, read +3.5 dBu; what is expected and what was read, as far as known."""
    said = []
    if planned.out_dbu is not None:
        said.append(f"out {level_text(planned.out_dbu)}")
    if planned.read_dbu is not None:
        said.append(f"read {level_text(planned.read_dbu)}")
    return ", ".join(said)


def _at_track(levels: LevelPlan) -> str:
    dbfs = levels.converter_dbfs
    return "" if dbfs is None else format_value(round(dbfs, 1), "dBFS")
