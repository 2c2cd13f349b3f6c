import pytest
from django.core.exceptions import ValidationError

from gear.editing.versions import EditedMeanwhile, claim_version
from sessions.songs.actions import write_lyrics
from sessions.songs.lyrics import lyrics_text, read_lyrics
from sessions.songs.models import LyricLine, Section
from sessions.takes.models import CompChoice
from tests.factories import PartFactory, SongFactory, TakeFactory

pytestmark = pytest.mark.django_db

TEXT = """[Verse 1]
The frost is on the morning
The carts are on the hill

[Chorus]
Turn up the lantern
Turn up the day

[Verse 2]
The rooks are at the railing

[Chorus]
Turn up the lantern
Turn up the day"""


@pytest.fixture
def song():
    song = SongFactory()
    write(song, TEXT)
    return song


def write(song, text):
    write_lyrics(song, written=read_lyrics(text), version=song.version)


def rows(song):
    """Every section and line as (row, text), in order."""
    sections = [(section.pk, section.name) for section in song.sections.all()]
    lines = LyricLine.objects.filter(section__song=song).order_by("section__position", "position")
    return sections, [(line.pk, line.text) for line in lines]


def choose(song, **target):
    """Choose take 3 of the lead vocal for a line or section."""
    part = PartFactory(song=song, name="Lead vocal")
    return CompChoice.objects.create(part=part, take=TakeFactory(part=part, number=3), **target)


def test_lyrics_written_are_the_lyrics_on_record(song):
    assert lyrics_text(song.sections.all()) == TEXT


def test_lyrics_written_again_change_nothing(song):
    before, changes = rows(song), song.history.count()

    write(song, TEXT)

    assert rows(song) == before
    assert song.history.count() == changes


def test_line_that_is_put_right_stays_the_same_row(song):
    [_, before] = rows(song)

    write(song, TEXT.replace("carts are on the hill", "carts are on the pier"))

    [_, after] = rows(song)
    assert [row for row, _ in after] == [row for row, _ in before]
    assert after[1][1] == "The carts are on the pier"


def test_line_put_in_between_leaves_the_others_their_rows(song):
    [_, before] = rows(song)

    write(song, TEXT.replace("The carts", "Oh, push and pull together\nThe carts"))

    [_, after] = rows(song)
    assert after[1][1] == "Oh, push and pull together"
    assert [after[0], *after[2:]] == before


def test_sections_that_change_places_take_their_lines_along(song):
    [sections, lines] = rows(song)
    verse_1, chorus, verse_2, last = TEXT.split("\n\n")

    write(song, "\n\n".join([verse_2, chorus, verse_1, last]))

    [sections_after, lines_after] = rows(song)
    assert sections_after == [sections[2], sections[1], sections[0], sections[3]]
    assert lines_after == [lines[4], lines[2], lines[3], lines[0], lines[1], lines[5], lines[6]]


def test_section_that_is_renamed_stays_the_same_row(song):
    [sections, lines] = rows(song)

    write(song, TEXT.replace("[Verse 2]", "[Bridge, bar 33]"))

    [sections_after, lines_after] = rows(song)
    assert sections_after[2] == (sections[2][0], "Bridge")
    assert lines_after == lines
    assert Section.objects.get(pk=sections[2][0]).first_bar == 33


def test_line_that_moves_to_another_section_stays_the_same_row(song):
    [_, before] = rows(song)
    moved = TEXT.replace("The carts are on the hill\n", "").replace(
        "The rooks", "The carts are on the hill\nThe rooks"
    )

    write(song, moved)

    [_, after] = rows(song)
    assert set(after) == set(before)
    assert LyricLine.objects.get(pk=before[1][0]).section.name == "Verse 2"


def test_repeated_chorus_taken_out_takes_only_its_own_rows(song):
    [sections, lines] = rows(song)

    write(song, TEXT.rsplit("\n\n", 1)[0])

    assert rows(song) == (sections[:3], lines[:5])


def test_chosen_line_can_not_be_taken_out(song):
    line = LyricLine.objects.get(text="The carts are on the hill")
    choose(song, line=line)
    before = rows(song)

    with pytest.raises(ValidationError) as refusal:
        write(song, TEXT.replace("The carts are on the hill\n", ""))

    assert refusal.value.messages == [
        "“The carts are on the hill” has to stay: the comp of Lead vocal takes it from take 3. "
        "Put it back, or choose otherwise in the comp first."
    ]
    assert rows(song) == before


def test_chosen_section_can_not_be_taken_out(song):
    choose(song, section=song.sections.get(name="Verse 2"))

    with pytest.raises(ValidationError, match="“Verse 2” has to stay"):
        write(song, TEXT.replace("[Verse 2]\nThe rooks are at the railing\n\n", ""))

    assert lyrics_text(song.sections.all()) == TEXT


def test_chosen_line_may_be_put_right(song):
    choice = choose(song, line=LyricLine.objects.get(text="The carts are on the hill"))

    write(song, TEXT.replace("the hill", "the hills"))

    choice.refresh_from_db()
    assert choice.line.text == "The carts are on the hills"


def test_lyrics_are_not_written_over_another_change(song):
    seen = song.version
    claim_version(song, seen)

    with pytest.raises(EditedMeanwhile):
        write_lyrics(song, written=read_lyrics("[Verse 1]\nGone"), version=seen)

    assert lyrics_text(song.sections.all()) == TEXT


def test_lyrics_leave_a_trace_in_the_song_s_history(song):
    write(song, TEXT + "\nTurn up together")

    assert song.history.latest().history_change_reason == "Lyrics written"


def test_history_has_the_lines_that_changed_and_no_other(song):
    before = LyricLine.history.count()

    write(song, TEXT.replace("on the hill", "on the mill"))

    changed = LyricLine.history.first()
    assert LyricLine.history.count() == before + 1
    assert (changed.history_type, changed.text) == ("~", "The carts are on the mill")
    assert changed.prev_record.text == "The carts are on the hill"
