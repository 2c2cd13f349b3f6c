"""Where a song's sections and lines are in a mix of it."""

import pytest
from django.core.exceptions import ValidationError

from sessions.deliverables.listening.song_places import place_at, seconds_of, song_places
from tests.factories import DeliverableFactory, LyricLineFactory, SectionFactory, SongFactory

pytestmark = pytest.mark.django_db

FOUR_SECONDS_A_BAR = [{"bar": 1, "bpm": 60}]


def sung(**facts):
    """Verse from bar 3, its second line nowhere; a refrain whose first line comes a beat early.

    0:00      0:08         ?          0:23   0:24
    bar 1     bar 3                   bar 6, beat 4; bar 7
    |---------[Verse] first, second --[Refrain] early, late (0:30.5)
    """
    song = SongFactory(meter="4/4", **facts)
    verse = SectionFactory(song=song, position=1, name="Verse", first_bar=3)
    refrain = SectionFactory(song=song, position=2, name="Refrain", first_bar=7)
    for section, position, text, place in [
        (verse, 1, "first", ""),
        (verse, 2, "second", ""),
        (refrain, 1, "early", "bar 6, beat 4"),
        (refrain, 2, "late", "0:30.5"),
    ]:
        LyricLineFactory(section=section, position=position, text=text, place=place)
    return song


def test_places_in_seconds_from_bar_1():
    places = song_places(sung(tempo_map=FOUR_SECONDS_A_BAR))

    assert [(str(place.of), place.seconds) for place in places] == [
        ("Verse", 8), ("first", 8), ("second", None), ("Refrain", 23), ("early", 23), ("late", 30.5)
    ]  # fmt: skip
    on = {seconds: place_at(places, seconds) for seconds in (7.9, 8, 22.9, 23, 90)}
    assert {seconds: place and str(place.of) for seconds, place in on.items()} == {
        7.9: None, 8: "first", 22.9: "first", 23: "early", 90: "late"
    }  # fmt: skip


def test_without_a_tempo_only_what_was_called_by_the_clock_has_a_time():
    song = sung(tempo_map=[])

    assert [place.seconds for place in song_places(song)] == [None] * 5 + [30.5]
    mix = DeliverableFactory(song=song)
    assert seconds_of("1:02.5", mix) == 62.5
    with pytest.raises(ValidationError, match="no tempo"):
        seconds_of("bar 5", mix)
