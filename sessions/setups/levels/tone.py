"""A test tone along a chain: where it goes in, and what each stage ought to read of it.

Computed from the logged controls, so that a chain can be checked whose tone nobody read. What was
not logged is never guessed: the level is unknown from there on, until a reading takes it up again.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from gear.audio.curves import response_db
from gear.equipment.models import Category
from gear.panels.models import Meaning
from sessions.setups.controls.compressor import compressor_of, threshold_of
from sessions.setups.controls.equaliser import bands_of
from sessions.setups.controls.gains import summed_gains
from sessions.setups.controls.stage_controls import StageControls

#: Common practice, no source: a microphone input's and a line input's level, then 20 dB less.
USUAL_TONE_HZ = 1000.0
USUAL_MICROPHONE_DBU = (-40.0, -60.0)
USUAL_LINE_DBU = (0.0, -20.0)
#: What leaves room in every stage (common practice, no source).
LOUDEST_DBU = 10.0
_DYNAMICS = (Meaning.THRESHOLD, Meaning.RATIO, Meaning.GAIN_REDUCTION)


def takes_tone(category: str) -> bool:
    """The tone goes in after the microphone and its supply, and no meter stands before that."""
    return category not in (Category.MICROPHONE, Category.SUPPLY)


@dataclass(frozen=True)
class ToneStage:
    """A stage that the tone goes through; read_dbu is what it read when its controls stood so."""

    category: str
    is_printed: bool
    controls: StageControls
    read_dbu: float | None = None


@dataclass(frozen=True)
class ToneLevel:
    """At a stage's output; dbu is None where it can't be told, and the notes say why."""

    dbu: float | None
    notes: tuple[str, ...] = ()


def tone_levels(stages: Sequence[ToneStage], *, tone_hz: float, tone_dbu: float) -> list[ToneLevel]:
    """What each stage ought to read of the tone that goes into the first of them."""
    levels: list[ToneLevel] = []
    printed = before = tone_dbu
    for stage in stages:
        arriving = printed if stage.is_printed else before
        level = _after(stage, arriving, tone_hz)
        levels.append(level)
        before = level.dbu if stage.read_dbu is None else stage.read_dbu
        if stage.is_printed:
            printed = before
    return levels


def usual_tone_dbu(stages: Sequence[ToneStage], *, from_microphone: bool) -> float:
    """What to send where no tone was logged: the usual level, less where a stage would clip."""
    levels = USUAL_MICROPHONE_DBU if from_microphone else USUAL_LINE_DBU
    for dbu in levels:
        read = tone_levels(stages, tone_hz=USUAL_TONE_HZ, tone_dbu=dbu)
        if all(level.dbu is None or level.dbu <= LOUDEST_DBU for level in read):
            return dbu
    return levels[-1]


def _after(stage: ToneStage, arriving: float | None, hertz: float) -> ToneLevel:
    controls, notes = stage.controls, []
    if stage.category == Category.EFFECT:
        return ToneLevel(None, ("An effect’s level can’t be told from its controls.",))
    sums, unlogged = summed_gains(controls, notes)
    if unlogged:
        return ToneLevel(None, (f"Not logged: {', '.join(unlogged)}.",))
    if arriving is None:
        return ToneLevel(None, ("The level before it is not known.",))
    equalised = response_db(bands_of(controls, []), hertz)
    into = arriving - abs(sums["pad_db"])
    reduction = _reduction(controls, into, notes)
    if reduction is None:
        return ToneLevel(None, tuple(notes))
    level = into + equalised + sums["gain_db"] + sums["make_up_db"] - reduction
    return ToneLevel(round(level, 2) + 0.0, tuple(notes))  # never "-0.0"


def _reduction(controls: StageControls, into: float, notes: list[str]) -> float | None:
    """What a compressor takes off a steady tone; None where its curve can't be computed."""
    dynamics = controls.of(*_DYNAMICS)
    if not dynamics or controls.engaged("compressor", dynamics[0].group) is False:
        return 0.0
    said: list[str] = []
    threshold, compressor = threshold_of(controls), compressor_of(controls, said)
    if compressor is None:
        notes += said
        return None
    if threshold.unit != "dBu":
        notes.append(f"{threshold.label} has no scale in dBu.")
        return None
    return compressor.reduction_db(into)
