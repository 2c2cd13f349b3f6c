"""Figures of a file as they are shown."""

import pytest

from tests.factories import DeliverableFileFactory


@pytest.mark.parametrize(
    ("frames", "rate", "length"),
    [
        (48_000, 48_000, "0:01.0"),
        (44_100 * 60 - 1, 44_100, "1:00.0"),
        (96_000 * 185 + 19_200, 96_000, "3:05.2"),
        (48_000 * 3661, 48_000, "1:01:01.0"),
        (1, 48_000, "0:00.0"),
    ],
)
def test_length_in_words(frames, rate, length):
    assert DeliverableFileFactory.build(frames=frames, sample_rate=rate).length == length


def test_levels_are_never_minus_nought():
    assert (
        str(DeliverableFileFactory.build(sample_peak_dbfs=-0.000001).levels["sample_peak_dbfs"])
        == "0.0"
    )
