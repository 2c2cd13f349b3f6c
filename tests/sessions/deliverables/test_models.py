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


@pytest.mark.parametrize(
    ("start", "end", "said"),
    [
        (0, 0, "none at either end"),
        (24_000, 0, "0:00.5 at the start"),
        (4_800, 9_600, "0:00.1 at the start, 0:00.2 at the end"),
        (48_000, 48_000, "all of it"),
    ],
)
def test_silence_in_words(start, end, said):
    file = DeliverableFileFactory.build(silent_frames_at_start=start, silent_frames_at_end=end)

    assert file.silence_in_words == said


def test_clipped_runs_are_told_with_their_times_each_once():
    runs = [[1, 24_000, 3], [2, 24_000, 5], [1, 36_000, 3]]

    def told(count):
        file = DeliverableFileFactory.build(clipped_runs=runs, clipped_run_count=count)
        return file.clipped_in_words

    assert told(3) == "3, at 0:00.5, 0:00.8"
    assert told(140) == "140, at 0:00.5, 0:00.8, …"


def test_offset_is_that_of_the_channel_with_most():
    file = DeliverableFileFactory.build(dc_offsets=[0.0001, -0.0125])

    assert file.offset_in_words == "1.250 % of full scale"
