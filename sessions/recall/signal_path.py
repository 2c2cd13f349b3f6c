"""The way of a signal, from the source to the recorded track, as it is drawn."""

from dataclasses import dataclass

from sessions.setups.models import Path, Revision, Stage

SOURCE = "source"
TRACK = "track"


@dataclass(frozen=True)
class Step:
    """One box of the drawing, with the monitor-only stages that hang from it, each from the one before.

    kind is "source", "track", "printed" or "monitor only"; number is the stage's, None at the ends.
    """

    name: str
    detail: str
    kind: str
    number: int | None = None
    beside: tuple["Step", ...] = ()


def signal_path(revision: Revision) -> tuple[Step, ...]:
    """The recorded way: source, printed stages, track. What is only monitored stands beside it.

    A monitor-only stage is fed by whatever stands before it (`setups.summary.connections`). Reads a
    revision loaded `with_stages`, and then costs no query.
    """
    chain = revision.chain
    way: list[tuple[Step, list[Step]]] = [(Step(chain.source, "", SOURCE), [])]
    for stage in revision.stages.all():
        if stage.is_printed:
            way.append((_step(stage), []))
        else:
            way[-1][1].append(_step(stage))
    way.append((Step(chain.track, chain.destination_input, TRACK), []))
    return tuple(
        Step(step.name, step.detail, step.kind, step.number, tuple(beside)) for step, beside in way
    )


def path_word(stage: Stage) -> str:
    """printed, or monitor only."""
    return Path(stage.path).label.lower()


def _step(stage: Stage) -> Step:
    return Step(f"{stage.unit.model}", stage.unit.asset_tag, path_word(stage), stage.position)
