"""The curves of a measurement, drawn."""

from sessions.recall.proving.plots import curve_plot
from tests.factories import result_of


def test_levels_in_are_named_apart_from_each_other_and_from_their_unit():
    """A file of 40 dB: five lines, of which two have room for their figures."""
    curve = tuple((float(level), level + 30.0) for level in range(-60, -19, 2))

    plot = curve_plot(result_of(curve=curve))

    assert plot.across.lines == (-60, -50, -40, -30, -20)
    assert [at for at, _ in plot.across.labels] == [-50, -30]
