"""A measurement as its page and the page of its chain show it."""

from dataclasses import dataclass
from typing import Self

from django.urls import reverse

from gear.audio.proving.comparing import Comparison
from gear.audio.proving.result import Fault, Result
from gear.editing.form_pages import Crumbs, trail
from gear.panels.plot import Plot
from sessions.recall.proving.feeding import feed_of
from sessions.recall.proving.holding import hold_against
from sessions.recall.proving.models import Depth, Measurement
from sessions.recall.proving.plots import curve_plot, response_plot
from sessions.recall.proving.three_tones import TonesWords
from sessions.recall.proving.words import Words
from sessions.rooms.models import HouseRules
from sessions.setups.chains.views.setups import crumbs_of as crumbs_of_session
from sessions.setups.models import Revision


@dataclass(frozen=True)
class Found:
    """What a full measurement found, in words, with its curves and what speaks against it."""

    words: Words
    response: Plot | None
    curve: Plot | None
    faults: tuple[Fault, ...]

    @classmethod
    def of(cls, measurement: Measurement) -> Self | None:
        found = measurement.found_in_dbu
        if found is None:
            return None
        return cls(
            _words(measurement, found),
            response_plot(found),
            curve_plot(found),
            found.faults,
        )


@dataclass(frozen=True)
class TonesFound:
    """What three tones found; against: what was measured there before, and what differs from it."""

    words: TonesWords
    against: Measurement | None = None
    comparison: Comparison | None = None

    @classmethod
    def of(cls, measurement: Measurement) -> Self | None:
        """At most two queries, none where it is not done."""
        if measurement.depth != Depth.TONES or not measurement.is_done:
            return None
        words, before = TonesWords(measurement.tones_read), measurement.before
        if before is None:
            return cls(words)
        tolerance = float(HouseRules.current().sound_tolerance_db)
        comparison = hold_against(before, measurement, tolerance_db=tolerance)
        return cls(words, before, comparison)


@dataclass(frozen=True)
class SoundOfChain:
    """The measurements of a chain, those of the revision that is shown apart."""

    revision: Revision
    ours: list[Measurement]
    others: list[Measurement]

    @classmethod
    def of(cls, revision: Revision) -> Self:
        """One query."""
        of_chain = Measurement.objects.filter(revision__chain=revision.chain_id)
        found = list(of_chain.select_related("revision", "measured_by", "cautions_by"))
        ours = [each for each in found if each.revision_id == revision.pk]
        return cls(revision, ours, [each for each in found if each.revision_id != revision.pk])

    @property
    def lines(self) -> list[tuple[Measurement, Words | TonesWords | None, bool]]:
        """Each with what it found, and whether a unit was set otherwise since."""
        return [(each, words_of(each), self._is_changed(each)) for each in self.ours]

    def _is_changed(self, measurement: Measurement) -> bool:
        if not measurement.settings_digest:
            return False
        feed = feed_of(self.revision, up_to=measurement.up_to)
        return feed.digest != measurement.settings_digest


def words_of(measurement: Measurement) -> Words | TonesWords | None:
    """None where it found nothing yet."""
    if measurement.depth == Depth.TONES and measurement.is_done:
        return TonesWords(measurement.tones_read)
    found = measurement.found_in_dbu
    return found and _words(measurement, found)


def _words(measurement: Measurement, found: Result) -> Words:
    return Words(
        found, float(measurement.fed_dbu), is_cable_taken_off=measurement.cable_id is not None
    )


def crumbs_of(measurement: Measurement) -> Crumbs:
    """The pages above it, and itself. Load it `with_names`."""
    here = (str(measurement), "")
    if measurement.revision:
        chain = measurement.revision.chain
        return [*crumbs_of_session(chain.setup.session), *trail(chain), here]
    if measurement.rebuild:
        return [*trail(("Rebuilds", "rebuild:list"), measurement.rebuild), here]
    if measurement.unit:
        return [*trail(("Units", "equipment:list"), measurement.unit), here]
    return [("Cables", reverse("proving:cables")), here]
