from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gear.audio.tempo import Meter, Timeline

FOUR = [(1, Meter(4, 4))]

# Arithmetic from the definition of a bar and a beat; 120 and 90 quarter notes a minute are 500,000
# and 666,667 µs each in a standard MIDI file (meta event FF 51 03).
WORKED = [
    ("4/4 at 120", [(1, 120)], FOUR, 5, 1, Fraction(8)),
    ("4/4 at 120, half a beat", [(1, 120)], FOUR, 17, 3.5, Fraction("33.25")),
    ("4/4 at 128", [(1, 128)], FOUR, 33, 1, Fraction(60)),
    ("4/4 at 90", [(1, 90)], FOUR, 9, 2, Fraction(22)),
    ("6/8, the quarter at 120", [(1, 120)], [(1, Meter(6, 8))], 5, 1, Fraction(6)),
    ("7/8, the quarter at 140", [(1, 140)], [(1, Meter(7, 8))], 3, 4, Fraction(51, 14)),
    ("eight bars at 100, then 120", [(1, 100), (9, 120)], FOUR, 17, 1, Fraction("35.2")),
    ("a bar of 2/4 in 4/4", [(1, 120)], [*FOUR, (3, Meter(2, 4)), (4, Meter(4, 4))], 4, 1, 5),
]


@pytest.mark.parametrize(("what", "tempos", "meters", "bar", "beat", "seconds"), WORKED)
def test_bar_and_beat_are_where_the_worked_example_has_them(
    what, tempos, meters, bar, beat, seconds
):
    song = Timeline(tempos, meters)

    assert song.seconds(bar, beat) == seconds
    assert song.position(seconds) == (bar, beat)


def test_samples_to_a_bar():
    assert Timeline([(1, 120)], FOUR).seconds(5) * 48_000 == 384_000


def test_bars_before_the_song_go_on_backwards():
    song = Timeline([(1, 120), (3, 60)], FOUR)

    assert song.seconds(-1) == -4
    assert song.position(-1) == (0, 3)


def test_pre_roll_counts_across_a_change_of_tempo_and_of_meter():
    """Two bars before bar 10: one of 3/4 at 120 and one of 4/4 at 60 quarter notes a minute."""
    song = Timeline([(1, 60), (9, 120)], [(1, Meter(4, 4)), (9, Meter(3, 4))])

    assert song.seconds(10) - song.seconds(8) == Fraction("5.5")


def test_beat_that_the_bar_has_not_is_refused_with_those_it_has():
    with pytest.raises(ValueError, match="bar 2 has beats 1 to 3"):
        Timeline([(1, 90)], [(1, Meter(3, 4))]).seconds(2, 4)


@st.composite
def songs(draw):
    bars = st.lists(st.integers(2, 200), max_size=6, unique=True).map(sorted)
    tempo = st.decimals(20, 400, places=3).map(float)
    meter = st.builds(Meter, st.integers(1, 15), st.sampled_from([2, 4, 8, 16]))
    return (
        [(bar, draw(tempo)) for bar in [1, *draw(bars)]],
        [(bar, draw(meter)) for bar in [1, *draw(bars)]],
    )


@given(songs(), st.fractions(-100, 1000, max_denominator=1000))
def test_time_to_bar_and_beat_and_back_is_the_same_time(song, seconds):
    timeline = Timeline(*song)

    assert timeline.seconds(*timeline.position(seconds)) == seconds


@given(songs(), st.integers(1, 250))
def test_bars_lie_where_adding_them_up_one_by_one_puts_them(song, bar):
    tempos, meters = song
    at, bpm, meter = Fraction(0), None, None
    for each in range(1, bar):
        bpm, meter = dict(tempos).get(each, bpm), dict(meters).get(each, meter)
        at += Fraction(meter.beats * 4, meter.note) * 60 / Fraction(str(bpm))

    assert Timeline(tempos, meters).seconds(bar) == at
