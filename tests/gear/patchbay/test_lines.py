import pytest

from gear.patchbay.lines import PointLine, points_from_text, points_to_text
from gear.patchbay.models import PatchPoint, Side
from tests.factories import PatchPointFactory, UnitFactory


def read(text, level="line", side="send"):
    return points_from_text(text, level=level, side=side)


def test_line_is_read_in_full():
    assert read("7; Preamp 7 out; QS-0012; Line out; mic; input") == [
        PointLine(7, "Preamp 7 out", "QS-0012", "Line out", "microphone", "return")
    ]


def test_row_gives_level_and_side_where_the_line_gives_none():
    assert read("1; Box 1", level="microphone", side="return") == [
        PointLine(1, "Box 1", "", "", "microphone", "return")
    ]


def test_line_without_number_stands_next():
    lines = read("Preamp 1 out\nPreamp 2 out\n\n9; Preamp 9 out\nPreamp 10 out")

    assert [(line.column, line.label) for line in lines] == [
        (1, "Preamp 1 out"),
        (2, "Preamp 2 out"),
        (9, "Preamp 9 out"),
        (10, "Preamp 10 out"),
    ]


def test_tabs_of_a_spreadsheet_part_like_semicolons():
    assert read("1\tPreamp 1 out\tQS-0012\tLine out") == read("1; Preamp 1 out; QS-0012; Line out")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1; ; QS-0012", "Line 1: the label is missing"),
        ("1; Out\n1; In", "Line 2: column 1 is there twice"),
        ("0; Out", "Line 1: columns run from 1"),
        ("1000; Out", "Line 1: columns run from 1"),
        ("1; Out; ; ; loud", "Line 1: “loud” is neither a level"),
        (f"1; {'x' * 41}", "longer than 40"),
        (f"1; Out; QS-1; {'x' * 31}", "longer than 30"),
    ],
)
def test_line_that_is_not_understood_is_named(text, said):
    with pytest.raises(ValueError, match=r"Line \d") as refused:
        read(text)

    [problem] = refused.value.args[0]
    assert said in problem


def test_every_bad_line_is_named_at_once():
    with pytest.raises(ValueError, match="Line 1") as refused:
        read("0; Out\n2; Fine\n3; ; QS-1")

    assert [problem[:6] for problem in refused.value.args[0]] == ["Line 1", "Line 3"]


@pytest.mark.django_db
def test_text_of_points_reads_back_as_the_same():
    bay = PatchPointFactory(
        column=3, label="Preamp 3 out", unit=UnitFactory(asset_tag="QS-1"), socket="Line out"
    ).bay
    PatchPointFactory(bay=bay, column=4, label="Spare", level="digital", side=Side.RETURN)
    points = PatchPoint.objects.with_links()

    text = points_to_text(points, level="line", side="send")

    assert text == "3; Preamp 3 out; QS-1; Line out\n4; Spare; ; ; digital; input"
    assert [(line.column, line.label, line.level, line.side) for line in read(text)] == [
        (point.column, point.label, point.level, point.side) for point in points
    ]
