"""The three tones of a chain: which, how loud, and what they say in words."""

from dataclasses import dataclass

from gear.audio.level_text import level_text
from gear.audio.numbers import MINUS
from gear.audio.proving.plan import SWEEP_DB
from gear.audio.proving.three_tones.layout import MIDDLE_HZ, ThreeTones
from gear.audio.proving.three_tones.tone import Tone
from gear.audio.values import format_value
from gear.equipment.models import Category
from sessions.recall.proving.feeding import Feed
from sessions.rooms.models import HouseRules
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.levels.tone import ToneStage, usual_tone_dbu
from sessions.setups.models import Revision


def house_tones(rate_hz: int, ceiling_dbfs: float) -> ThreeTones:
    """As the house has them. A query."""
    rules = HouseRules.current()
    outer = float(rules.tones_bottom_hz), float(rules.tones_top_hz)
    return ThreeTones(rate_hz, round(ceiling_dbfs, 2), *outer)


def usual_level_dbu(revision: Revision, feed: Feed) -> float:
    """What the tone check of the chain was logged with, else what is usual; where the plan knows what clips
    first, low enough for whatever band is boosted."""
    if revision.tone_dbu is not None:
        level = float(revision.tone_dbu)
    else:
        stages = [
            ToneStage(stage.facts.unit.model.category, stage.is_printed, StageControls.at(stage))
            for stage in feed.stages
        ]
        from_microphone = any(
            stage.facts.unit.model.category == Category.MICROPHONE for stage in feed.before
        )
        level = usual_tone_dbu(stages, from_microphone=from_microphone)
    return min(level, feed.limit.dbu + max(SWEEP_DB)) if feed.limit else level


@dataclass(frozen=True)
class ToneRow:
    """One of them, as a table has it; besides: what there is more of it than of 1 kHz."""

    name: str
    sent: str
    read: str
    gain: str
    besides: str
    said: tuple[str, ...]


@dataclass(frozen=True)
class TonesWords:
    """tones: those that were read, from the bottom up."""

    tones: tuple[Tone, ...]

    @property
    def in_short(self) -> str:
        """+20.0 dB at 1 kHz; 80 Hz −0.4 dB, 10 kHz 0.0 dB."""
        outer = [f"{row.name} {row.besides}" for row in self.rows if row.besides]
        middle = next((row.gain for row in self.rows if row.name == hertz_name(MIDDLE_HZ)), "")
        said = [f"{middle} at 1 kHz"] if middle else []
        return "; ".join([*said, *([", ".join(outer)] if outer else [])])

    @property
    def rows(self) -> list[ToneRow]:
        gains = {tone.hertz: tone.gain_db for tone in self.tones}
        middle = gains.get(MIDDLE_HZ)
        return [
            ToneRow(
                hertz_name(tone.hertz),
                level_text(tone.sent_dbu),
                "" if tone.read_dbu is None else level_text(tone.read_dbu),
                decibels(tone.gain_db),
                ""
                if tone.hertz == MIDDLE_HZ or None in (middle, tone.gain_db)
                else decibels(tone.gain_db - middle),
                tone.said,
            )
            for tone in self.tones
        ]


def hertz_name(hertz: float) -> str:
    return format_value(hertz, "Hz")


def decibels(apart: float | None) -> str:
    """To a tenth, with its sign if it has one; empty where it is not known."""
    if apart is None:
        return ""
    tenths = round(apart, 1) + 0.0
    return f"{tenths:{'+' if tenths else ''}.1f} dB".replace("-", MINUS)
