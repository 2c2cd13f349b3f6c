import pytest
from django.urls import reverse

from sessions.songs.actions import write_lyrics
from sessions.songs.lyrics import read_lyrics
from sessions.songs.models import LyricLine
from sessions.takes.comp.sheet import COLUMNS, CompSheet
from sessions.takes.models import CompChoice, CompGrade
from tests.factories import (
    LyricLineFactory,
    PartFactory,
    RecordingSessionFactory,
    SectionFactory,
    TakeFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    part = PartFactory()
    section = SectionFactory(song=part.song)
    LyricLineFactory(section=section, text="The lamps are burning low")
    LyricLineFactory(section=section, text="The rope is wet with morning")
    return part


@pytest.fixture
def takes(part):
    session = RecordingSessionFactory(project=part.song.project)
    return [TakeFactory(part=part, session=session, number=n) for n in (1, 2)]


@pytest.fixture
def press(client_of, engineer, part, takes):
    """Presses the cell of a line and a take, by their indices, as the page shows it or as `seen`."""

    def press(line, take, mode="choose", seen=None):
        cell = seen or CompSheet(part).table[line][1][take].key
        return client_of(engineer).post(
            reverse("comp:press", args=[part.pk]), {"cell": cell, "mode": mode}, follow=True
        )

    return press


def chosen(part):
    return [take and part.song.takes.get(pk=take).number for take in CompSheet(part).chosen]


def test_line_is_chosen_by_one_press_another_take_by_the_next_and_none_by_a_third(part, press):
    press(0, 0)
    press(1, 1)
    assert chosen(part) == [1, 2]

    press(0, 1)
    press(1, 1)
    assert chosen(part) == [2, None]


def test_undo_puts_back_what_was_chosen_and_graded(part, press, client_of, engineer):
    press(0, 0)
    for mode, (line, take) in [("choose", (0, 1)), ("4", (1, 0))]:
        page = press(line, take, mode)
        mode, cell = page.context["undo"]
        client_of(engineer).post(
            reverse("comp:press", args=[part.pk]), {"cell": cell, "mode": mode}
        )

    assert chosen(part) == [1, None]
    assert not CompGrade.objects.exists()


def test_second_of_two_who_press_the_same_line_is_told_and_changes_nothing(part, press):
    seen = CompSheet(part).table[0][1][0].key
    graded = CompSheet(part).table[1][1][0].key
    press(0, 1)
    press(1, 0, "5")

    page = press(0, 0, seen=seen)
    [message] = page.context["messages"]
    assert "it is taken from take 2 now" in str(message)
    page = press(1, 0, "2", seen=graded)
    [message] = page.context["messages"]
    assert "was graded 5 by somebody else meanwhile" in str(message)
    assert chosen(part) == [2, None]
    assert CompGrade.objects.get().grade == 5


def test_two_who_grade_different_lines_lose_nothing(part, press):
    seen = [CompSheet(part).table[line][1][0].key for line in (0, 1)]
    press(0, 0, "3", seen=seen[0])
    press(1, 0, "4", seen=seen[1])

    assert [grade.grade for grade in CompGrade.objects.order_by("line")] == [3, 4]


@pytest.mark.parametrize("sent", [{}, {"cell": "l9.9"}, {"cell": "x.y.z.0", "mode": "4"}])
def test_press_of_no_cell_is_answered_in_words(client_of, engineer, part, takes, sent):
    page = client_of(engineer).post(
        reverse("comp:press", args=[part.pk]), {"mode": "choose"} | sent, follow=True
    )

    [message] = page.context["messages"]
    assert "not in the comp any more" in str(message)


def test_suggestion_fills_what_is_open_and_replaces_nothing(client_of, engineer, part, press):
    press(0, 1)
    press(1, 0, "5")

    web = client_of(engineer)
    shown = web.get(reverse("comp:sheet", args=[part.pk]), {"way": "joins"})
    web.post(reverse("comp:suggested", args=[part.pk]), {"way": "joins"})

    assert [suggested for _line, suggested in shown.context["rows"]] == [
        shown.context["comp"].takes[0].take_id
    ] * 2
    assert chosen(part) == [2, 1]


def test_line_that_is_split_is_chosen_and_graded_in_both_halves(client_of, engineer, part, press):
    press(0, 0)
    press(0, 1, "4")
    line = LyricLine.objects.first()

    client_of(engineer).post(
        reverse("comp:split", args=[line.pk]), {"after": "2", "seen": part.song.version}
    )

    texts = [str(row) for row in CompSheet(part).rows]
    assert texts == ["The lamps", "are burning low", "The rope is wet with morning"]
    assert chosen(part) == [1, 1, None]
    assert [grade.grade for grade in CompGrade.objects.all()] == [4, 4]


def test_note_is_kept_beside_the_grade_and_the_second_editor_gets_both(
    client_of, engineer, part, press
):
    cell = CompSheet(part).table[0][1][0]
    web = client_of(engineer)
    page = f"{reverse('comp:note', args=[part.pk])}?cell={cell.row.key}.{cell.part.take_id}"

    web.post(page, {"grade": "4", "note": "breath before the rope", "seen": "1"})
    second = web.post(page, {"grade": "2", "note": "", "seen": "1"})

    assert second.status_code == 409
    assert [(g.grade, g.note) for g in CompGrade.objects.all()] == [(4, "breath before the rope")]


def test_line_whose_grade_was_removed_may_go_from_the_lyrics(part, press):
    press(0, 0, "4")
    press(0, 0, "0")

    write_lyrics(part.song, version=part.song.version, written=read_lyrics("[Verse]\nHaul"))

    assert [str(row) for row in CompSheet(part).rows] == ["Haul"]


def test_comp_as_csv(client_of, engineer, part, press):
    press(0, 1)
    press(0, 0, "4")

    answer = client_of(engineer).get(reverse("comp:csv", args=[part.pk]))

    section = part.song.sections.get()
    assert b"".join(answer.streaming_content).decode("utf-8-sig").splitlines() == [
        "section,line,chosen,take 1,take 2",
        f"{section},The lamps are burning low,2,4,",
        f"{section},The rope is wet with morning,,,",
    ]


@pytest.mark.parametrize("count", [1, 4])
def test_comp_sheet_costs_the_same_for_any_number_of_takes_and_lines(
    client_of, engineer, part, count, django_assert_num_queries
):
    session = RecordingSessionFactory(project=part.song.project)
    for number in range(count):
        take = TakeFactory(part=part, session=session, number=number + 1)
        line = LyricLineFactory(section=part.song.sections.get())
        CompChoice.objects.create(part=part, line=line, take=take)
        CompGrade.objects.create(take_part=take.take_parts.get(), line=line, grade=number)
    web = client_of(engineer)

    with django_assert_num_queries(8):
        web.get(reverse("comp:sheet", args=[part.pk]), {"way": "best"})


def test_older_takes_stay_in_sight_after_a_press(client_of, engineer):
    part = PartFactory()
    line = LyricLineFactory(section__song=part.song)
    session = RecordingSessionFactory(project=part.song.project)
    takes = [
        TakeFactory(part=part, session=session, number=number) for number in range(1, COLUMNS + 3)
    ]
    web, address = client_of(engineer), reverse("comp:sheet", args=[part.pk])
    older = web.get(address).context["comp"].older

    page = web.get(address, {"before": older})
    pressed = web.post(
        reverse("comp:press", args=[part.pk]),
        {"mode": "choose", "cell": f"l{line.pk}.{takes[0].pk}..", "before": older},
    )

    assert [each.take.number for each in page.context["comp"].takes] == [1, 2]
    assert f"before={older}" in pressed.url
    assert CompChoice.objects.get().take == takes[0]
