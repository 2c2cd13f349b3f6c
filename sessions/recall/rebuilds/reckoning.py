"""What a tone ought to read through what really stands there: units left out, replaced, bypassed.

Without it the unit behind a gap would be blamed for the gain that is missing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gear.equipment.models import Category
from gear.panels.models import Meaning
from sessions.setups.levels.tone import ToneStage, tone_levels


@dataclass(frozen=True)
class Standing:
    """How a stage stands now, where that is not as it was: left out, or another unit or a bypass that
    the tone goes `through` as it is set."""

    is_left_out: bool = False
    through: ToneStage | None = None
    words: str = ""


AS_LOGGED = Standing()


@dataclass(frozen=True)
class Reckoned:
    """A level at a stage's output, None where it can't be told, and why it is not the logged one.
    is_guess: nothing is known of the unit that stands there but what was logged of another."""

    dbu: float | None
    why: str
    is_guess: bool = False


@dataclass(frozen=True)
class ThenStage:
    """A stage as it was logged; dbu is what it ought to read where all stands as it was."""

    position: int
    logged: ToneStage
    dbu: float | None


@dataclass(frozen=True)
class _Level:
    """At one point of a path, then and now; `why` says what is not as it was before it."""

    then: float | None
    now: float | None
    why: tuple[str, ...] = ()


def reckon(
    stages: Sequence[tuple[ThenStage, Standing]], *, hertz: float, dbu: float
) -> list[Reckoned | None]:
    """Of each stage in signal order; None where nothing before it or at it stands otherwise."""
    printed = before = _Level(dbu, dbu)
    found = []
    for then, standing in stages:
        arriving = printed if then.logged.is_printed else before
        reckoned = _reckoned(then, standing, arriving, hertz)
        found.append(reckoned)
        before = _Level(
            then.dbu,
            reckoned.dbu if reckoned else then.dbu,
            (*arriving.why, *_why(then, standing)),
        )
        printed = before if then.logged.is_printed else printed
    return found


def _reckoned(
    then: ThenStage, standing: Standing, arriving: _Level, hertz: float
) -> Reckoned | None:
    if standing.is_left_out:
        return Reckoned(arriving.now, "left out: taken to pass at 0 dB")
    if standing.through:
        level = _alone(standing.through, arriving.now, hertz)
        if level is None:
            said = f"{standing.words}: its gain can’t be reckoned, held against what was logged"
            return Reckoned(then.dbu, said, is_guess=True)
        return Reckoned(level, f"{standing.words}: reckoned as it is set")
    if not arriving.why or (arriving.then is not None and arriving.then == arriving.now):
        return None
    level = _moved(then, arriving, hertz)
    why = " and ".join(arriving.why)
    return Reckoned(level, f"reckoned: {why}" if level is not None else f"can’t be reckoned: {why}")


def _moved(then: ThenStage, arriving: _Level, hertz: float) -> float | None:
    """What it gives now that something else arrives at it."""
    if None in (then.dbu, arriving.then, arriving.now):
        return None
    outs = [_alone(then.logged, level, hertz) for level in (arriving.then, arriving.now)]
    if None not in outs:
        return round(then.dbu + outs[1] - outs[0], 2) + 0.0
    if _is_linear(then.logged):
        return round(then.dbu + arriving.now - arriving.then, 2) + 0.0
    return None


def _is_linear(stage: ToneStage) -> bool:
    dynamics = stage.controls.of(Meaning.THRESHOLD, Meaning.RATIO, Meaning.GAIN_REDUCTION)
    if stage.category == Category.EFFECT:
        return False
    return not dynamics or stage.controls.engaged("compressor", dynamics[0].group) is False


def _alone(stage: ToneStage, arriving: float | None, hertz: float) -> float | None:
    if arriving is None:
        return None
    (level,) = tone_levels([stage], tone_hz=hertz, tone_dbu=arriving)
    return level.dbu


def _why(then: ThenStage, standing: Standing) -> Iterator[str]:
    if standing.is_left_out:
        yield f"unit {then.position} is left out"
    elif standing.through:
        yield f"unit {then.position} is {standing.words}"
