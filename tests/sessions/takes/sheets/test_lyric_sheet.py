import pytest
from django.urls import reverse

from sessions.songs.actions import write_lyrics
from sessions.songs.lyrics import read_lyrics
from sessions.songs.models import LyricLine, Section
from sessions.takes.models import CompChoice
from tests.factories import PartFactory, RecordingSessionFactory, TakeFactory
from tests.printed import accessibility_errors, text_of
from tests.sessions.bookings.test_session_csv import rows_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    """The verse is chosen line by line, the chorus as a whole, the coda not yet."""
    part = PartFactory(name="Lead vocal", song__title="Slow the Lantern")
    text = "[Verse, bar 9]\nHaul\n[bar 12] Away\n[Chorus, bar 17]\nUp\n[Coda, bar 25]"
    write_lyrics(part.song, version=part.song.version, written=read_lyrics(text))
    session = RecordingSessionFactory(project=part.song.project)
    one, two, three = (TakeFactory(part=part, session=session, number=n) for n in (1, 2, 3))
    for words, take in (("Haul", one), ("Away", two)):
        CompChoice.objects.create(part=part, take=take, line=LyricLine.objects.get(text=words))
    CompChoice.objects.create(part=part, take=three, section=Section.objects.get(name="Chorus"))
    return part


def test_lines_stand_with_their_places_and_for_a_part_with_their_takes(client_of, engineer, part):
    web = client_of(engineer)

    of_song = rows_of(web.get(reverse("sheets:lyrics_csv", args=[part.song.pk])))
    of_part = rows_of(web.get(reverse("sheets:part_lyrics_csv", args=[part.pk])))

    assert [list(row.values()) for row in of_part] == [
        ["Verse", "Haul", "bar 9", "bar 12", "1"],
        ["Verse", "Away", "bar 12", "bar 17", "2"],
        ["Chorus", "Up", "bar 17", "bar 25", "3"],
        ["Coda", "", "bar 25", "", ""],
    ]
    assert of_song == [row | {"take": ""} for row in of_part]


def test_lyric_sheet_prints_them_with_room_for_notes(client_of, engineer, part):
    web = client_of(engineer)

    pdf = web.get(reverse("sheets:lyrics", args=[part.song.pk])).getvalue()
    with_takes = web.get(reverse("sheets:part_lyrics", args=[part.pk])).getvalue()

    assert accessibility_errors(pdf) == accessibility_errors(with_takes) == []
    assert "From Line Notes Verse bar 9 bar 9 Haul bar 12 Away Chorus bar 17" in text_of(pdf)
    assert "bar 12 Away 2 Chorus" in text_of(with_takes)
