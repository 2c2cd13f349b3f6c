import pytest

from sessions.songs.actions import write_lyrics
from sessions.songs.lyrics import read_lyrics
from sessions.songs.models import LyricLine, Section
from sessions.takes.comp.lines import comps_of, lines_of
from sessions.takes.models import CompChoice, Take
from tests.factories import PartFactory, RecordingSessionFactory, TakeFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    """Verse and first line of the chorus from take 1, its second from take 2; the coda is open."""
    part = PartFactory(name="Lead vocal")
    text = "[Verse]\nHaul\nAway\n[Chorus]\nTurn up\nthe lantern\n[Coda]"
    write_lyrics(part.song, version=part.song.version, written=read_lyrics(text))
    session = RecordingSessionFactory(project=part.song.project)
    one, two = (TakeFactory(part=part, session=session, number=number) for number in (1, 2))
    CompChoice.objects.create(part=part, take=one, section=Section.objects.get(name="Verse"))
    for text, take in (("Turn up", one), ("the lantern", two)):
        CompChoice.objects.create(part=part, take=take, line=LyricLine.objects.get(text=text))
    return part


def runs():
    return [
        (comp.part.name, [(take and take.number, words) for take, words in comp.runs])
        for comp in comps_of(CompChoice.objects.all())
    ]


def test_lines_that_follow_each_other_from_one_take_are_named_together(part):
    assert runs() == [
        (
            "Lead vocal",
            [
                (1, "Verse; Chorus: “Turn up”"),
                (2, "Chorus: “the lantern”"),
                (None, "Coda"),
            ],
        )
    ]


def test_section_chosen_as_a_whole_gives_each_of_its_lines_and_a_withdrawn_take_none(part):
    Take.objects.filter(number=2).update(withdrawn=True)

    assert [
        (f"{each.line or ''}", each.take and each.take.number) for each in lines_of(part.song, part)
    ] == [
        ("Haul", 1),
        ("Away", 1),
        ("Turn up", 1),
        ("the lantern", None),
        ("", None),
    ]
    assert {each.take for each in lines_of(part.song)} == {None}


@pytest.mark.parametrize("parts", [1, 3])
def test_comps_of_any_number_of_parts_cost_the_same_queries(part, parts, django_assert_num_queries):
    for number in range(1, parts):
        other = PartFactory(song=part.song, name=f"Harmony {number}")
        take = TakeFactory(part=other, session=Take.objects.first().session)
        CompChoice.objects.create(part=other, take=take, line=LyricLine.objects.first())

    with django_assert_num_queries(3):
        assert len(runs()) == parts
