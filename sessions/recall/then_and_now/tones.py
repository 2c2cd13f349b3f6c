"""The three tones of a rebuilt chain, against those of when it was recorded."""

from dataclasses import dataclass

from gear.audio.proving.comparing import Comparison
from gear.audio.proving.three_tones.layout import BOTTOMS_HZ, TOPS_HZ, ThreeTones
from gear.audio.proving.three_tones.tone import compare_tones
from sessions.recall.models import Rebuild
from sessions.recall.proving.holding import tones_against_full
from sessions.recall.proving.models import Depth, Measurement
from sessions.recall.proving.three_tones import TonesWords, house_tones
from sessions.recall.rebuilds.lines import StageLine
from sessions.recall.sound.measured import Measured
from sessions.recall.then_and_now.chains import ChainSound
from sessions.recall.then_and_now.points import set_since, through


@dataclass(frozen=True)
class TonesThenAndNow:
    """Up to a point. then: what was measured there while it was recorded, best by tones; None where nothing was.
    newest: what stands of today's; set_since: the unit that was set otherwise after that; waiting: what was begun,
    and has not ended."""

    then: Measured | None
    newest: Measurement | None
    comparison: Comparison | None
    set_since: StageLine | None
    waiting: tuple[Measurement, ...]

    @property
    def words(self) -> TonesWords | None:
        return TonesWords(self.newest.tones_read) if self.newest else None


def tones_then(sound: ChainSound, up_to: int | None) -> Measured | None:
    """By three tones, or else what a full measurement would have read of them."""
    there = [each for each in sound.then if each.through == up_to]
    by_tones = (each for each in there if each.tones)
    return next(by_tones, there[0] if there else None)


def tones_then_and_now(
    rebuild: Rebuild, sound: ChainSound, up_to: int | None, tolerance_db: float
) -> TonesThenAndNow:
    """A query."""
    there = rebuild.measurements.filter(
        depth=Depth.TONES, chain_number=sound.number, up_to=up_to, undone_at=None
    ).order_by("measured_at", "pk")
    done = [each for each in there if each.is_done]
    newest = done[-1] if done else None
    then = tones_then(sound, up_to)
    comparison = None
    if then and newest:
        now = newest.tones_read
        comparison = (
            compare_tones(then.tones, now, tolerance_db)
            if then.tones
            else tones_against_full(then.in_dbu, now, tolerance_db)
        )
    return TonesThenAndNow(
        then,
        newest,
        comparison,
        set_since(filter(sound.at(up_to).reaches, through(sound.checklist)), newest),
        tuple(each for each in there if not each.is_done),
    )


def tones_to_send(then: Measured | None, rate_hz: int, ceiling_dbfs: float) -> ThreeTones:
    """At the frequencies of then, so that they can be compared; else those of the house. At most a query."""
    hertz = [tone.hertz for tone in then.tones] if then else []
    if len(hertz) == 3 and hertz[0] in BOTTOMS_HZ and hertz[2] in TOPS_HZ:
        return ThreeTones(rate_hz, round(ceiling_dbfs, 2), hertz[0], hertz[2])
    return house_tones(rate_hz, ceiling_dbfs)
