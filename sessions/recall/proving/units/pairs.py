"""Two measurements side by side: of one unit in two years, of two channels, of two units of a model."""

from dataclasses import dataclass
from functools import cached_property

from gear.audio.proving.comparing import Comparison
from gear.audio.proving.matching import Match, match
from gear.panels.plot import Plot
from sessions.recall.proving.holding import hold_against
from sessions.recall.proving.models import Measurement
from sessions.recall.proving.plots import curve_plot, response_plot


@dataclass(frozen=True)
class Pair:
    """Both are done; the second is told against the first. tolerance_db: the house's."""

    first: Measurement
    second: Measurement
    tolerance_db: float

    @property
    def both(self) -> tuple[Measurement, Measurement]:
        return self.first, self.second

    @cached_property
    def comparison(self) -> Comparison:
        return hold_against(self.first, self.second, tolerance_db=self.tolerance_db)

    @property
    def match(self) -> Match | None:
        return match(self.comparison)

    @property
    def is_of_one(self) -> bool:
        """The same jacks twice, so that it is told what became of them."""
        return (self.first.unit_id, self.first.channel) == (
            self.second.unit_id,
            self.second.channel,
        )

    @property
    def is_set_alike(self) -> bool:
        return (
            " ".join(self.first.note.split()).casefold()
            == " ".join(self.second.note.split()).casefold()
        )

    @property
    def plots(self) -> list[Plot]:
        then, now = self.first.found_in_dbu, self.second.found_in_dbu
        if not (then and now):
            return []
        drawn = (response_plot(now, then=then), curve_plot(now, then=then))
        return [plot for plot in drawn if plot]
