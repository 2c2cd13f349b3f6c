"""The measured sound of a rebuild's chains, in its report. `{% load then_and_now %}`."""

from dataclasses import dataclass

from django import template

from gear.panels.plot import Plot
from sessions.recall.rebuilds.lines import Checklist
from sessions.recall.sound.told import NOT_COVERED
from sessions.recall.then_and_now.chains import ChainSound, sounds_of
from sessions.recall.then_and_now.plots import response_then_and_now
from sessions.rooms.models import HouseRules

register = template.Library()


@dataclass(frozen=True)
class Reported:
    """Of a chain that was measured since it was set up again, up to the converter."""

    sound: ChainSound

    @property
    def words(self) -> str:
        return self.sound.whole.newest.comparison.words

    @property
    def plot(self) -> Plot | None:
        newest, then = self.sound.whole.newest, self.sound.whole.then
        return response_then_and_now(then.in_dbu, newest.now.in_dbu, newest.comparison)


@register.inclusion_tag("sessions/recall/then_and_now/_in_report.html")
def sound_in_report(checklist: Checklist, medium: str) -> dict:
    """A query where nothing was measured, and as many for one chain as for ten."""
    found = []
    if checklist.rebuild.measurements.exists():
        tolerance = float(HouseRules.current().sound_tolerance_db)
        sounds = sounds_of(checklist, tolerance)
        found = [Reported(sound) for sound in sounds if sound.whole.newest]
    return {"found": found, "medium": medium, "not_covered": NOT_COVERED}
