import pytest
from django.urls import reverse

from sessions.songs.actions import write_lyrics
from sessions.songs.line_places import punched, spans_of_lines, stretches
from sessions.songs.lyrics import read_lyrics
from sessions.songs.models import Song
from tests.factories import SongFactory

pytestmark = pytest.mark.django_db

# Beats of half a second, so bars of two.
FOUR_FOUR = {"meter": "4/4", "tempo_map": [{"bar": 1, "bpm": 120}], "last_bar": 32}


def song_of(text, **facts) -> Song:
    song = SongFactory(**facts)
    write_lyrics(song, version=song.version, written=read_lyrics(text))
    return song


def spans(text, **facts) -> list[tuple[str, str, str]]:
    return [
        (str(span.line), span.punch_in, span.punch_out)
        for span in spans_of_lines(song_of(text, **facts))
    ]


def test_line_ends_where_the_next_line_or_section_begins():
    """The chorus has a pick-up before its first bar, and an interlude of eight bars behind it."""
    text = """
        [Verse, bar 9]
        Haul
        [bar 13] Away
        [Chorus, bar 17]
        [bar 16, beat 4] Turn up
        [0:36] The lantern
        [Interlude, bar 21]
        [Last, bar 29]
        [bar 29, beat 2] Out
    """

    assert spans(text, **FOUR_FOUR) == [
        ("Haul", "bar 9", "bar 13"),
        ("Away", "bar 13", "bar 16, beat 4"),
        ("Turn up", "bar 16, beat 4", "0:36"),
        ("The lantern", "0:36", "bar 21"),
        ("Out", "bar 29, beat 2", ""),
    ]


def test_line_without_a_place_has_none_unless_it_begins_its_section():
    assert spans("[Verse, bar 9]\nHaul\nAway\n[bar 13] Turn\n[Coda]\nOut") == [
        ("Haul", "bar 9", "bar 13"),
        ("Turn", "bar 13", ""),
    ]


def test_times_are_enough_for_a_song_without_a_click():
    text = "[Verse]\n[0:10] Haul\n[0:14.5] Away\n[Coda]\n[1:02] Out"

    assert spans(text) == [
        ("Haul", "0:10", "0:14.5"),
        ("Away", "0:14.5", "1:02"),
        ("Out", "1:02", ""),
    ]


def covered(song, punch_in, punch_out="") -> dict[str, bool | None]:
    sections = song.sections.prefetch_related("lines")
    sung = stretches(sections, song)
    things = [thing for section in sections for thing in (section, *section.lines.all())]
    took = punched(punch_in, punch_out, song.timeline)
    return {str(each): took.covers(sung[each]) if each in sung else None for each in things}


@pytest.mark.parametrize(
    ("points", "there"),
    [
        (("bar 9", "bar 17"), [True, True, True, True, False, False]),
        (("bar 9", "bar 13"), [None, True, False, False, False, False]),
        (("bar 13", ""), [None, False, True, True, True, True]),
        (("bar 14", "bar 15"), [None, False, None, None, False, False]),
        (("bar 16, beat 4", ""), [None, False, None, None, True, True]),
        (("bar 17", "bar 33"), [False, False, False, False, True, True]),
        (("bar 18", ""), [False, False, False, False, None, None]),
        (("0:16", "0:24"), [None, True, False, False, False, False]),
    ],
)
def test_punch_in_covers_a_line_by_its_own_place_else_by_those_round_it(points, there):
    """Away has no place: it is sung between bar 13 and the chorus, whose pick-up is in bar 17."""
    text = "[Verse, bar 9]\nHaul\n[13] Turn\nAway\n[Chorus, bar 18]\n[17] Up"
    song = song_of(text, **FOUR_FOUR)

    assert list(covered(song, *points).values()) == there


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("[bar 33] Away", "“Away”: The song ends with bar 32: bar 33 lies behind it."),
        ("[bar 15, beat 5] Away", "“Away”: bar 15, beat 5 is not in the song: bar 15 has beats 1 to 4."),
        ("[bar 12] Away", "“Away” (bar 12) begins before a line above it."),
        ("[0:20] Away", "“Away” (0:20) begins before a line above it."),
    ],
)  # fmt: skip
def test_place_that_is_not_in_the_song_or_not_in_order_is_refused_beside_the_text(
    client_of, engineer, line, said
):
    song = SongFactory(**FOUR_FOUR)
    text = f"[Verse]\n[bar 13] Haul\n{line}"

    page = client_of(engineer).post(
        reverse("songs:lyrics", args=[song.pk]), {"text": text, "seen": song.version}
    )

    assert page.context["form"].errors == {"text": [said]}
    assert page.context["form"]["text"].value() == text
    assert not song.sections.exists()


def test_place_that_the_song_lost_since_is_no_error():
    song = song_of("[Verse]\n[bar 13, beat 4] Haul\n[bar 40] Away")
    song.meter, song.tempo_map, song.last_bar = "3/4", [{"bar": 1, "bpm": 90}], 32
    song.save()

    assert covered(song, "bar 13") == {"Verse": None, "Haul": True, "Away": True}
