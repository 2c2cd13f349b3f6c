"""Dials against numpy's interpolation, which knows nothing of ours."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import interpolate

from tests.gear.audio.panels import dials

SHARES = np.linspace(0, 1, 33)


def by_numpy(dial, angles):
    """Straight lines between the marks, on a log scale between the logarithms of their values."""
    at, values = zip(*((mark.angle, mark.value) for mark in dial.marks), strict=True)
    if dial.scale == "log":
        return np.exp(np.interp(angles, at, np.log(values)))
    return np.interp(angles, at, values)


@settings(max_examples=200)
@given(dials())
def test_value_between_marks_is_numpys(dial):
    first, last = dial.marks[0].angle, dial.marks[-1].angle
    angles = np.clip(first + SHARES * (last - first), first, last)

    assert [dial.value_at(angle) for angle in angles] == pytest.approx(
        by_numpy(dial, angles), rel=1e-9, abs=1e-9
    )


@settings(max_examples=200)
@given(dials(), st.floats(0, 1))
def test_pointer_stands_where_numpy_reads_it_back(dial, share):
    first, last = dial.marks[0].angle, dial.marks[-1].angle
    value = float(by_numpy(dial, min(last, first + share * (last - first))))
    value = min(max(value, min(m.value for m in dial.marks)), max(m.value for m in dial.marks))

    assert by_numpy(dial, dial.angle_of(value)) == pytest.approx(value, rel=1e-7, abs=1e-7)


@settings(max_examples=100)
@given(dials(scales=("linear",)))
def test_no_mark_is_overshot_as_in_scipys_monotone_curve(dial):
    """scipy's PCHIP, the monotone curve through the same marks: where it rises ours rises, and between
    two marks both stay between their values."""
    at = [mark.angle for mark in dial.marks]
    curve = interpolate.PchipInterpolator(at, [mark.value for mark in dial.marks])
    for low, high in pairwise(dial.marks):
        for angle in np.linspace(low.angle, high.angle, 7):
            ours, theirs = dial.value_at(angle), float(curve(angle))
            span = abs(high.value - low.value)
            assert abs(ours - theirs) <= span + 1e-6
            assert min(low.value, high.value) <= ours <= max(low.value, high.value)
