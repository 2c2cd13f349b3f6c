import pytest
from django.core.exceptions import ValidationError

from sessions.songs.lyrics import (
    WrittenLine,
    WrittenSection,
    is_same_line,
    is_same_section,
    lyrics_text,
    match_written,
    read_lyrics,
)
from tests.factories import LyricLineFactory, SectionFactory, SongFactory

TEXT = """[Verse 1, bar 17]
The frost is on the morning
The carts are on the hill

[Chorus]
Turn up the lantern"""


def test_lyrics_are_read_into_sections_and_lines():
    assert read_lyrics(TEXT) == [
        WrittenSection(
            "Verse 1",
            17,
            [WrittenLine("The frost is on the morning"), WrittenLine("The carts are on the hill")],
        ),
        WrittenSection("Chorus", None, [WrittenLine("Turn up the lantern")]),
    ]


def test_line_is_read_with_where_it_is_sung():
    [verse] = read_lyrics("[Verse, bar 17]\n[18|3] The carts [softly]\n[ 1:23.5 ]Turn\nUp [high]")

    assert verse.lines == [
        WrittenLine("The carts [softly]", "bar 18, beat 3"),
        WrittenLine("Turn", "1:23.5"),
        WrittenLine("Up [high]"),
    ]


def test_lyrics_need_no_empty_lines_and_take_any_number():
    crowded = TEXT.replace("\n\n", "\n")
    airy = TEXT.replace("\n", "\r\n\r\n  ")

    assert read_lyrics(crowded) == read_lyrics(airy) == read_lyrics(TEXT)


def test_section_without_words_stands():
    assert read_lyrics("[Intro]\n[Verse 1]\nOut") == [
        WrittenSection("Intro"),
        WrittenSection("Verse 1", None, [WrittenLine("Out")]),
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("The frost is on the morning", "Line 1 is in no section"),
        ("\n[ ]\nTurn", "Line 2 starts a section without a name"),
        (f"[{'x' * 61}]", "in line 1 is longer than 60 characters"),
        (f"[Verse 1]\n{'x' * 201}", "Line 2: it is longer than 200 characters"),
        ("[Verse 1]\n[softly] Turn", "Line 2: “softly” is not a place in the song: write bar 17"),
    ],
)
def test_lyrics_that_are_unclear_are_refused_with_the_line(text, said):
    with pytest.raises(ValidationError) as refusal:
        read_lyrics(text)

    assert said in refusal.value.messages[0]


def test_longest_name_and_line_are_taken():
    [section] = read_lyrics(f"[{'x' * 60}]\n{'y' * 200}")

    assert (len(section.name), len(section.lines[0].text)) == (60, 200)


@pytest.mark.django_db
def test_lyrics_on_record_are_printed_as_they_were_typed():
    song = SongFactory()
    verse = SectionFactory(song=song, position=1, name="Verse 1", first_bar=17)
    LyricLineFactory(section=verse, position=2, text="The carts are on the hill")
    LyricLineFactory(section=verse, position=1, text="The frost is on the morning")
    chorus = SectionFactory(song=song, position=2, name="Chorus")
    line = LyricLineFactory(section=chorus, position=1, text="Turn up the lantern")

    assert lyrics_text(song.sections.all()) == TEXT

    line.place = "bar 32, beat 4"
    line.save()
    assert lyrics_text(song.sections.all()) == TEXT.replace("Turn", "[bar 32, beat 4] Turn")


def test_match_prefers_a_sure_test_over_an_early_place():
    matched = match_written(
        ["ab", "abc"], ["abc", "ab"], lambda new, old: new == old, lambda new, old: True
    )

    assert matched == {0: "ab", 1: "abc"}


def test_match_uses_an_old_item_once():
    assert match_written(["a", "a"], ["a"], lambda new, old: new == old) == {0: "a"}


def test_line_put_right_is_the_same_line():
    assert is_same_line("The frost is on the morning", "The frost is on the mornin'")
    assert not is_same_line("The frost is on the morning", "Turn up, my neighbour")


def test_section_is_the_same_by_most_of_its_lines():
    assert is_same_section(["a", "b", "c"], ["a", "b", "d"])
    assert not is_same_section(["a", "b", "c"], ["x", "y", "c"])
    assert not is_same_section([], [])


def test_text_that_is_no_song_is_refused_before_its_lines_are_compared():
    song = "[Verse 1]\n" + "The carts are on the hill\n\n" * 499
    assert len(read_lyrics(song)[0].lines) == 499

    with pytest.raises(ValidationError, match="at most 500 lines"):
        read_lyrics(song * 100)
