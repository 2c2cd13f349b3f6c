"""The curves of a stage, drawn from its logged controls by their meaning and band."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from gear.audio.curves import CUTS, Band, Compressor
from gear.audio.values import format_value
from gear.panels.models import Meaning
from gear.panels.plot import Plot, compressor_plot, equaliser_plot
from sessions.setups.controls.compressor import compressor_of, threshold_of
from sessions.setups.controls.equaliser import bands_of
from sessions.setups.controls.stage_controls import StageControls
from sessions.setups.models import Stage
from sessions.setups.models.snapshot import UnitFacts


@dataclass(frozen=True)
class Curve:
    """A plot, None where there is none to draw, and what to know beside it.

    words says in one line what the plot shows.
    """

    name: str
    words: str
    plot: Plot | None
    notes: tuple[str, ...]


def stage_curves(stage: Stage) -> Iterator[Curve]:
    """The equaliser with its filters, and the compressor, as far as the panel has them.

    A filter that stands on flat is no curve.
    """
    controls = StageControls.at(stage)
    if controls.of(Meaning.BAND_GAIN, Meaning.FILTER_FREQUENCY):
        equaliser = _equaliser(controls, stage.facts.unit)
        if equaliser.plot or equaliser.notes:
            yield equaliser
    if controls.of(Meaning.THRESHOLD, Meaning.RATIO, Meaning.GAIN_REDUCTION):
        yield _compressor(controls, stage.facts.unit)


def _equaliser(controls: StageControls, unit: UnitFacts) -> Curve:
    notes: list[str] = []
    bands = bands_of(controls, notes)
    name = "Equaliser" if controls.of(Meaning.BAND_GAIN) else "Filter"
    words = _bands_in_words(bands)
    plot = equaliser_plot(bands, f"{name} of {unit}: {words}") if bands else None
    return Curve(name, words, plot, tuple(dict.fromkeys(notes)))


def _compressor(controls: StageControls, unit: UnitFacts) -> Curve:
    name, notes = "Compressor", []
    compressor = compressor_of(controls, notes)
    if compressor is None:
        return Curve(name, "", None, tuple(dict.fromkeys(notes)))
    decibels = threshold_of(controls).unit
    words = _compressor_in_words(compressor, decibels)
    plot = compressor_plot(compressor, f"{name} of {unit}: {words}", decibels)
    return Curve(name, words, plot, tuple(dict.fromkeys(notes)))


def _bands_in_words(bands: Iterable[Band]) -> str:
    return "; ".join(map(_band_in_words, bands)) or "flat"


def _band_in_words(band: Band) -> str:
    hertz = format_value(round(band.frequency_hz, 1), "Hz")
    if band.shape in CUTS:
        return f"{band.shape} at {hertz}, {6 * band.order} dB an octave"
    gain = format_value(round(band.gain_db, 1), "dB")
    return f"{band.shape} of {gain} at {hertz}, Q {band.q:.2g}"


def _compressor_in_words(compressor: Compressor, unit: str) -> str:
    ratio = "∞:1" if math.isinf(compressor.ratio) else f"{compressor.ratio:g}:1"
    knee = f"{compressor.knee_db:g} dB soft knee" if compressor.knee_db else "hard knee"
    threshold = format_value(compressor.threshold_db, unit)
    make_up = format_value(compressor.make_up_db, "dB")
    return f"threshold {threshold}, {ratio}, {knee}, make-up {make_up}"
