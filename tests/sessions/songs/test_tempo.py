import re

import pytest
from django.core.exceptions import ValidationError

from sessions.songs.tempo import read_tempo, tempo_text


@pytest.mark.parametrize(
    ("text", "stored"),
    [
        ("", []),
        ("  ", []),
        ("1: 96, 33: 104", [{"bar": 1, "bpm": 96}, {"bar": 33, "bpm": 104}]),
        ("1:96,33:104", [{"bar": 1, "bpm": 96}, {"bar": 33, "bpm": 104}]),
        ("1: 96\n33: 72.5", [{"bar": 1, "bpm": 96}, {"bar": 33, "bpm": 72.5}]),
        ("96", [{"bar": 1, "bpm": 96}]),
        ("1: 400", [{"bar": 1, "bpm": 400}]),
    ],
)
def test_tempo_map_is_read(text, stored):
    assert read_tempo(text) == stored


@pytest.mark.parametrize(
    "text", ["", "1: 96", "1: 96, 33: 104", "1: 72.5", "1: 120, 2: 60.125, 999: 88"]
)
def test_tempo_map_is_shown_back_as_it_was_typed(text):
    assert tempo_text(read_tempo(text)) == text


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2: 96", "bar 1 is missing"),
        ("1: 96, 33: 104, 17: 90", "Bar 17 comes after bar 33"),
        ("1: 96, 1: 104", "Bar 1 comes after bar 1"),
        ("1: 0", "out of range"),
        ("1: 401", "out of range"),
        ("1: -96", "“1: -96” is not a bar"),
        ("1 = 96", "“1 = 96” is not a bar"),
        ("1: 96, allegro", "“allegro” is not a bar"),
        ("0: 96", "bar 1 is missing"),
        ("9.6.1", "“1: 9.6.1” is not a bar"),
    ],
)
def test_tempo_map_that_is_unclear_is_refused_in_words(text, said):
    with pytest.raises(ValidationError, match=re.escape(said)):
        read_tempo(text)
