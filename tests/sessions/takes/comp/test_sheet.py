import pytest

from sessions.songs.models import LyricLine, Section
from sessions.takes.comp.sheet import COLUMNS, CompSheet
from sessions.takes.models import CompChoice, CompGrade, Mark, TakeKind
from tests.factories import PartFactory, RecordingSessionFactory, TakeFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    """Three sections of eight bars; the last has no words."""
    part = PartFactory(song__last_bar=24)
    for position, (name, lines) in enumerate([("Verse", 2), ("Chorus", 1), ("Coda", 0)]):
        section = Section.objects.create(
            song=part.song, position=position, name=name, first_bar=8 * position + 1
        )
        for number in range(lines):
            LyricLine.objects.create(section=section, position=number, text=f"{name} {number + 1}")
    return part


@pytest.fixture
def take(part):
    session = RecordingSessionFactory(project=part.song.project)

    def take(number, **facts):
        return TakeFactory(part=part, session=session, number=number, **facts)

    return take


def covered(part) -> dict:
    """By take and line, whether the take is there."""
    return {
        (cell.part.take.number, str(row)): cell.covered
        for row, cells in CompSheet(part).table
        for cell in cells
    }


def test_whole_take_covers_every_line_and_one_that_broke_down_nobody_knows(part, take):
    take(1, mark=Mark.COMPLETE)
    take(2, mark=Mark.BREAKDOWN)
    take(3, mark=Mark.FALSE_START)

    lines = ["Verse 1", "Verse 2", "Chorus 1", "Coda"]
    assert covered(part) == {
        **{(1, line): True for line in lines},
        **{(2, line): None for line in lines},
    }


@pytest.mark.parametrize(
    ("points", "verse", "chorus", "coda"),
    [
        (("bar 9", "bar 17"), False, True, False),
        (("bar 9", ""), False, True, True),
        (("bar 5", "bar 17"), None, True, False),
        (("bar 9", "bar 13"), False, None, False),
        (("bar 17", "bar 25"), False, False, True),
        (("0:10", "0:20"), None, None, None),
    ],
)
def test_punch_in_covers_the_sections_that_it_spans(part, take, points, verse, chorus, coda):
    whole = take(1)
    take(2, kind=TakeKind.PUNCH_IN, into=whole, punch_in=points[0], punch_out=points[1])

    here = {line: there for (number, line), there in covered(part).items() if number == 2}
    assert here == {"Verse 1": verse, "Verse 2": verse, "Chorus 1": chorus, "Coda": coda}


def test_line_is_usable_by_its_grade_else_by_the_takes(part, take):
    first, second, third = (
        take(1, mark=Mark.COMPLETE, grade=4),
        take(2, mark=Mark.NO_GOOD),
        take(3, grade=2),
    )
    one, two = LyricLine.objects.filter(text__startswith="Verse")
    CompGrade.objects.create(take_part=first.take_parts.get(), line=one, grade=1)
    CompGrade.objects.create(take_part=second.take_parts.get(), line=two, grade=5)

    usable = [[cell.usable for cell in cells] for _row, cells in CompSheet(part).table]
    assert usable == [[0, 0, 0], [4, 5, 0], [4, 0, 0], [4, 0, 0]]
    assert [str(row) for row in CompSheet(part).not_covered] == ["Verse 1"]
    assert CompSheet(part).suggestion("joins") == [None, first.pk, first.pk, first.pk]
    assert CompSheet(part).suggestion("best") == [None, second.pk, first.pk, first.pk]
    assert third.pk not in CompSheet(part).suggestion("best")


def test_joins_and_open_lines_are_counted(part, take):
    first, second = take(1), take(2)
    one, two = LyricLine.objects.filter(text__startswith="Verse")
    chorus = Section.objects.get(name="Chorus")
    CompChoice.objects.create(part=part, line=one, take=first)
    CompChoice.objects.create(part=part, line=two, take=second)
    CompChoice.objects.create(part=part, section=chorus, take=second)

    sheet = CompSheet(part)
    assert [str(row) for row in sheet.rows] == ["Verse 1", "Verse 2", "Chorus", "Coda"]
    assert sheet.joins == 1
    assert [str(row) for row in sheet.not_chosen] == ["Coda"]


def test_page_has_the_newest_takes_and_those_that_are_chosen(part, take):
    takes = [take(number) for number in range(1, COLUMNS + 4)]
    line = LyricLine.objects.first()
    CompChoice.objects.create(part=part, line=line, take=takes[0])

    def numbers(sheet):
        return [each.take.number for each in sheet.takes]

    newest = CompSheet(part, in_pages=True)
    assert numbers(newest) == [1, *range(4, COLUMNS + 4)]
    older = CompSheet(part, in_pages=True, before=newest.older)
    assert (numbers(older), older.older) == ([1, 2, 3], None)
    assert [cell.chosen for cell in older.table[0][1]] == [takes[0].pk] * 3
    assert numbers(CompSheet(part, only=takes[1].pk)) == [2]
