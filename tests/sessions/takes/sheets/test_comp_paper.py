import pytest
from django.urls import reverse

from sessions.songs.actions import write_lyrics
from sessions.songs.lyrics import read_lyrics
from sessions.songs.models import LyricLine
from sessions.takes.models import CompChoice, CompGrade, TakeKind
from sessions.takes.sheets.comp_paper import LYING, UPRIGHT, comp_paper
from tests.factories import PartFactory, RecordingSessionFactory, TakeFactory
from tests.printed import accessibility_errors, collisions, text_of, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    part = PartFactory(song__title="Slow the Lantern")
    text = "[Verse, bar 9]\nHaul\n[bar 12] Away\n[Chorus, bar 17]\nUp"
    write_lyrics(part.song, version=part.song.version, written=read_lyrics(text))
    return part


@pytest.fixture
def take(part):
    session = RecordingSessionFactory(project=part.song.project)

    def take(number, punch_in="", **facts):
        if punch_in:
            whole = part.song.takes.get(number=1)
            facts |= {"kind": TakeKind.PUNCH_IN, "into": whole, "punch_in": punch_in}
        return TakeFactory(part=part, session=session, number=number, **facts)

    return take


def choose(part, **takes):
    for words, take in takes.items():
        CompChoice.objects.create(part=part, take=take, line=LyricLine.objects.get(text=words))


def test_sheet_shows_choice_joins_gaps_and_notes_and_leaves_out_what_covers_no_line(
    client_of, engineer, part, take
):
    one, two = take(1, grade=2), take(2, "bar 9", punch_out="bar 12")
    take(3, "bar 2", punch_out="bar 5")
    choose(part, Haul=two, Away=one)
    [graded] = two.take_parts.all()
    line = LyricLine.objects.get(text="Haul")
    CompGrade.objects.create(take_part=graded, line=line, grade=4, note="breath before it")

    paper = comp_paper(part)
    pdf = client_of(engineer).get(reverse("sheets:comp", args=[part.pk])).getvalue()

    [(across, rows)] = paper.tables
    assert [each.take.number for each in across] == [1, 2]
    assert [(f"{row.row}", row.chosen and row.chosen.take, row.is_joined) for row in rows] == [
        ("Haul", two, False),
        ("Away", one, True),
        ("Up", None, False),
    ]
    assert [each.take.number for each in paper.left_out] == [3]
    text = text_of(pdf)
    assert accessibility_errors(pdf) == []
    for words in (
        "1 join · 1 line without a take",
        "No usable take yet: Verse: “Away”. Chorus: “Up”.",
        "Haul take 2 · 4 *",
        "Away bar 12 take 1, join ✓ –",
        "Up none · –",
        "since they cover no line: take 3.",
        "Take 2, “Haul”: breath before it",
    ):
        assert words in text, words


@pytest.mark.parametrize(("takes", "tables", "lies"), [(UPRIGHT, 1, False), (LYING + 1, 2, True)])
def test_many_takes_lie_across_and_go_on_in_a_further_table(part, take, takes, tables, lies):
    for number in range(1, takes + 1):
        take(number)

    paper = comp_paper(part)

    assert (len(paper.tables), paper.lies) == (tables, lies)
    assert sum(len(across) for across, _rows in paper.tables) == takes


def test_widest_table_fits_its_page(client_of, engineer, part, take):
    for number in range(101, 101 + LYING):
        take(number)
    web = client_of(engineer)

    for size in ("a4", "letter"):
        pdf = web.get(reverse("sheets:comp", args=[part.pk]), {"paper": size}).getvalue()

        assert collisions(words_of(pdf)) == []
        assert f"{100 + LYING}" in text_of(pdf)


def test_part_without_takes_has_an_empty_sheet(client_of, engineer, part):
    pdf = client_of(engineer).get(reverse("sheets:comp", args=[part.pk])).getvalue()

    assert "A comp needs sections or lyric lines" in text_of(pdf)
