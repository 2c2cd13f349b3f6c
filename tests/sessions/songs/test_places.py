from fractions import Fraction

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from gear.audio.tempo import Meter, Timeline
from sessions.songs.models import Song
from sessions.songs.places import Place, check_points, place_text, read_place

WALTZ = Timeline([(1, 90)], [(1, Meter(3, 4))])


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ("17", Place(17)),
        ("bar 17", Place(17)),
        ("Bar 17, beat 3", Place(17, Fraction(3))),
        ("bar 17 beat 3.5", Place(17, Fraction("3.5"))),
        ("17|3", Place(17, Fraction(3))),
        ("1:23", Place(seconds=Fraction(83))),
        ("0:05.25", Place(seconds=Fraction("5.25"))),
    ],
)
def test_place_as_it_is_called_out(typed, place):
    assert read_place(typed) == place


@pytest.mark.parametrize("typed", ["the bridge", "0", "bar -3", "1:75", "17 3", "12345"])
def test_what_is_no_place_is_refused_with_how_to_write_one(typed):
    with pytest.raises(ValidationError, match="write bar 17, bar 17 beat 3, or 1:23.5"):
        read_place(typed)


@given(st.integers(1, 999), st.integers(100, 1300))
def test_place_is_read_back_as_it_is_written(bar, beat):
    place = Place(bar, Fraction(beat, 100))

    assert read_place(str(place)) == place


def test_place_is_said_in_bars_and_in_time():
    """Three quarters at 90 a minute are two seconds a bar."""
    assert place_text("bar 21", WALTZ) == "bar 21 (0:40)"
    assert place_text("bar 21, beat 2.5", WALTZ) == "bar 21, beat 2.5 (0:41)"
    assert place_text("1:23", WALTZ) == "1:23 (bar 42, beat 2.5)"
    assert place_text("bar 21", None) == "bar 21"
    assert str(Place(-1)) == "2 bars before bar 1"


@pytest.mark.parametrize(
    ("begins", "ends", "said"),
    [
        ("bar 21", "bar 29", {}),
        ("bar 21", "", {}),
        ("bar 21", "0:59", {}),
        ("bar 32", "bar 33", {}),
        ("bar 21", "bar 21", {"punch_out": ["Out comes after in: put it behind bar 21."]}),
        ("bar 21", "0:40", {"punch_out": ["Out comes after in: put it behind bar 21."]}),
        ("bar 21, beat 4", "", {"punch_in": ["bar 21, beat 4 is not in the song: bar 21 has beats 1 to 3."]}),
        ("bar 33", "", {"punch_in": ["The song ends with bar 32: bar 33 lies behind it."]}),
        ("bar 30", "1:10", {"punch_out": ["The song ends with bar 32: 1:10 lies behind it."]}),
    ],
)  # fmt: skip
def test_punch_points_lie_in_the_song_in_order(begins, ends, said):
    song = Song(tempo_map=[{"bar": 1, "bpm": 90}], meter="3/4", last_bar=32)

    assert _said(song, begins, ends) == said


def test_bars_are_compared_where_the_song_has_no_tempo():
    assert _said(Song(), "bar 21, beat 3", "bar 21") == {
        "punch_out": ["Out comes after in: put it behind bar 21, beat 3."]
    }
    assert _said(Song(), "bar 21", "0:10") == {}


def _said(song, begins, ends):
    try:
        check_points(song, begins, ends)
    except ValidationError as refusal:
        return refusal.message_dict
    return {}
