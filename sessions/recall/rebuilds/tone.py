"""The tone check: the stated tone sent again, and where the chain first reads other than it ought."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from itertools import takewhile

from gear.audio.values import format_value
from gear.equipment.models import Category
from sessions.recall.rebuilds.reckoning import (
    AS_LOGGED,
    Reckoned,
    Standing,
    ThenStage,
    reckon,
)
from sessions.recall.sheet.wanted import WantedChain, WantedStage
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.levels.tone import (
    USUAL_TONE_HZ,
    ToneLevel,
    ToneStage,
    takes_tone,
    tone_levels,
    usual_tone_dbu,
)

#: A tenth is read off a digital meter, a needle by eye to half a decibel. Common practice, no source.
TOLERANCE_DB = 0.5


@dataclass(frozen=True)
class ReadNow:
    """What a rebuilt stage read, and when; changed_at: when it was last set or its unit chosen;
    standing: what of it is not as it was."""

    dbu: float | None = None
    at: datetime | None = None
    changed_at: datetime | None = None
    standing: Standing = AS_LOGGED


@dataclass(frozen=True)
class StageTone:
    """At one stage's output, in dBu. logged is what the revision itself read, earlier what was read
    on another revision (read_on) of its chain, `before` the nearest stage on the tone's way, reckoned
    what it ought to be now that something is not as it was."""

    position: int
    is_printed: bool
    logged: float | None
    earlier: float | None
    read_on: int | None
    predicted: ToneLevel
    now: ReadNow
    before: "StageTone | None" = None
    reckoned: Reckoned | None = None

    @property
    def then(self) -> float | None:
        """What it ought to read as it was: a reading of another revision, whose controls may have
        stood otherwise, only where nothing better is known."""
        known = (self.logged, self.predicted.dbu, self.earlier)
        return next((level for level in known if level is not None), None)

    @property
    def expected(self) -> float | None:
        """What it is held against."""
        return self.reckoned.dbu if self.reckoned else self.then

    @property
    def is_left_out(self) -> bool:
        return self.now.standing.is_left_out

    @property
    def deviation_db(self) -> float | None:
        if self.now.dbu is None or self.expected is None:
            return None
        return round(self.now.dbu - self.expected, 2) + 0.0

    @cached_property
    def compared_before(self) -> "StageTone | None":
        """The nearest stage before it that can be compared."""
        before = self.before
        return (
            before if before is None or before.deviation_db is not None else before.compared_before
        )

    @property
    def step_db(self) -> float | None:
        """What this stage itself adds to the deviation, with those that nobody read before it."""
        if self.deviation_db is None:
            return None
        so_far = self.compared_before.deviation_db if self.compared_before else 0.0
        return round(self.deviation_db - so_far, 2) + 0.0

    @property
    def suspects(self) -> list[int]:
        """Units before it that nobody read and of whose gain nothing is known: what is out here may
        be theirs."""
        if self.deviation_db is None or self.before is None:
            return []
        unread = takewhile(lambda each: each is not self.compared_before, self.before.way())
        return [each.position for each in unread if each.reckoned and each.reckoned.is_guess]

    @property
    def steps(self) -> bool:
        """Whether the deviation grows at it, or between it and the last that was read."""
        return self.step_db is not None and abs(self.step_db) > TOLERANCE_DB

    @property
    def is_out_here(self) -> bool:
        return self.steps and not self.suspects

    @property
    def is_off(self) -> bool:
        """Reads wrong, by its own doing or by that of a stage before it."""
        return self.deviation_db is not None and abs(self.deviation_db) > TOLERANCE_DB

    @property
    def set_since(self) -> "StageTone | None":
        """The stage, this one or one before it, that was set after the tone was read here."""
        if self.now.dbu is None or self.now.at is None:
            return None
        return next((each for each in self.way() if each.changed_after(self.now.at)), None)

    def way(self) -> "Iterator[StageTone]":
        """The stages that the tone has gone through, from this one back."""
        yield self
        if self.before:
            yield from self.before.way()

    def changed_after(self, moment: datetime) -> bool:
        return self.now.changed_at is not None and self.now.changed_at > moment

    @property
    def expected_text(self) -> str:
        return _in_words(self.expected, "dBu")

    @property
    def grounds(self) -> list[str]:
        """Where that level is from, and what else is known of it."""
        if self.reckoned:
            return [self.reckoned.why]
        computed = _in_words(self.predicted.dbu, "dBu")
        if self.logged is not None:
            return ["logged", f"computed {computed}"] if computed else ["logged"]
        read = f"read on revision {self.read_on}"
        if not computed:
            return [read]
        return (
            ["computed", f"{_in_words(self.earlier, 'dBu')} {read}"]
            if self.earlier is not None
            else ["computed"]
        )

    @property
    def read_text(self) -> str:
        return _in_words(self.now.dbu, "dBu")

    @property
    def deviation_text(self) -> str:
        return _in_words(self.deviation_db, "dB")

    @property
    def step_text(self) -> str:
        return _in_words(self.step_db, "dB")


@dataclass(frozen=True)
class ChainTone:
    """The tone to send, and the stages that it goes through; is_logged: it is what was sent then."""

    hertz: float
    dbu: float
    is_logged: bool
    stages: tuple[StageTone, ...]

    @property
    def words(self) -> str:
        return f"{format_value(self.hertz, 'Hz')} at {format_value(self.dbu, 'dBu')}"

    @property
    def first_out(self) -> StageTone | None:
        """The first printed stage that reads other than it ought."""
        printed = (stage for stage in self.stages if stage.is_printed)
        return next((stage for stage in printed if stage.steps or stage.is_off), None)

    @property
    def in_use(self) -> list[StageTone]:
        return [stage for stage in self.stages if not stage.is_left_out]

    @property
    def read(self) -> list[StageTone]:
        return [stage for stage in self.stages if stage.now.dbu is not None]

    @property
    def is_read(self) -> bool:
        return bool(self.read)

    @property
    def to_read_again(self) -> list[StageTone]:
        return [stage for stage in self.stages if stage.set_since]

    def at(self, position: int) -> StageTone | None:
        return next((stage for stage in self.stages if stage.position == position), None)


def chain_tone(chain: WantedChain, now: Mapping[int, ReadNow]) -> ChainTone:
    """now: what was read at each stage, by its position."""
    wanted = [stage for stage in chain.stages if takes_tone(stage.category)]
    on_the_way = [_tone_stage(stage, _is_own(chain)) for stage in wanted]
    hertz = float(chain.tone_hz or USUAL_TONE_HZ)
    if chain.tone_dbu is None:
        from_microphone = any(stage.category == Category.MICROPHONE for stage in chain.stages)
        dbu = usual_tone_dbu(on_the_way, from_microphone=from_microphone)
    else:
        dbu = float(chain.tone_dbu)
    predicted = tone_levels(on_the_way, tone_hz=hertz, tone_dbu=dbu)
    levels = [
        _level(chain, each, level, now.get(each.position, ReadNow()))
        for each, level in zip(wanted, predicted, strict=True)
    ]
    reckoned = reckon(
        [
            (ThenStage(level.position, stage, level.then), level.now.standing)
            for level, stage in zip(levels, on_the_way, strict=True)
        ],
        hertz=hertz,
        dbu=dbu,
    )
    stages = tuple(_in_line(zip(levels, reckoned, strict=True)))
    return ChainTone(hertz, dbu, chain.tone_dbu is not None, stages)


def _is_own(chain: WantedChain) -> bool:
    """Whether its readings were taken on this very revision."""
    return chain.readings_from in (None, chain.revision_number)


def _tone_stage(stage: WantedStage, own: bool) -> ToneStage:
    read = _number(stage.tone_reading_dbu) if own else None
    controls = StageControls(stage.controls, stage.settings)
    return ToneStage(stage.category, stage.is_printed, controls, read)


def _level(
    chain: WantedChain, wanted: WantedStage, predicted: ToneLevel, now: ReadNow
) -> StageTone:
    read, own = _number(wanted.tone_reading_dbu), _is_own(chain)
    return StageTone(
        wanted.position,
        wanted.is_printed,
        logged=read if own else None,
        earlier=None if own else read,
        read_on=chain.readings_from,
        predicted=predicted,
        now=now,
    )


def _in_line(levels: Iterable[tuple[StageTone, Reckoned | None]]) -> Iterator[StageTone]:
    """What is only monitored hangs on whatever stands before it, printed stages on printed ones."""
    printed, before = None, None
    for level, reckoned in levels:
        before = replace(level, before=printed if level.is_printed else before, reckoned=reckoned)
        printed = before if level.is_printed else printed
        yield before


def _number(value) -> float | None:
    return None if value is None else float(value)


def _in_words(value: float | None, unit: str) -> str:
    """To a tenth, as a meter shows it."""
    return "" if value is None else format_value(round(value, 1) + 0.0, unit)
