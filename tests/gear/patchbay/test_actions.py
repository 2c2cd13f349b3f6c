import pytest
from django.core.exceptions import ValidationError

from gear.editing.versions import EditedMeanwhile
from gear.patchbay.actions import save_row, set_normals
from gear.patchbay.models import Normal, PatchPoint, Side, TieLine
from tests.factories import BayFactory, PatchPointFactory, StageFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def bay():
    """A1 A2 A3 sources, B1 B2 B3 inputs."""
    bay = BayFactory()
    for column in (1, 2, 3):
        PatchPointFactory(bay=bay, row="A", column=column)
        PatchPointFactory(bay=bay, row="B", column=column, side=Side.RETURN)
    return bay


def at(bay, place):
    return bay.points.get(row=place[0], column=place[1:])


def links(bay):
    return {
        (normal.source.place, normal.destination.place, normal.kind)
        for normal in Normal.objects.filter(source__bay=bay)
    }


def saved(bay, row, points, tie_lines=None):
    """Save a row as somebody does who sees it as it is."""
    bay.refresh_from_db()
    save_row(bay, version=bay.version, row=row, points=points, tie_lines=tie_lines or {})


def normalled(source, destination, pairs, kind):
    return set_normals(
        source, version=source.bay.version, destination=destination, pairs=pairs, kind=kind
    )


def point(column, label="Out", **facts):
    return PatchPoint(column=column, label=label, **{"level": "line", "side": "send"} | facts)


def test_row_is_added_changed_and_shortened(bay):
    kept = at(bay, "A2")

    saved(bay, "A", [point(2, "New label"), point(5)])

    assert list(bay.points.filter(row="A").values_list("column", flat=True)) == [2, 5]
    kept.refresh_from_db()
    assert kept.label == "New label"


def test_row_keeps_its_normals(bay):
    normalled(at(bay, "A1"), at(bay, "B1"), 3, "half")

    saved(bay, "A", [point(1), point(2)])

    assert links(bay) == {("A1", "B1", "half"), ("A2", "B2", "half")}


def test_row_changes_its_tie_lines(bay):
    TieLine.objects.create(room="Live room", box="Box 1", line=1, point=at(bay, "A1"))
    swapped = TieLine(room="Live room", box="Box 1", line=1)

    saved(bay, "A", [point(1), point(2)], {2: swapped})

    assert TieLine.objects.get().point.place == "A2"


def test_point_that_is_patched_is_not_removed(bay):
    StageFactory(patch_in=at(bay, "A3"))

    with pytest.raises(ValidationError, match="A3 .* is patched in a setup"):
        saved(bay, "A", [point(1, "Changed")])

    assert bay.points.filter(row="A").count() == 3
    assert at(bay, "A1").label != "Changed"


def test_source_with_a_normal_does_not_become_an_input(bay):
    normalled(at(bay, "A1"), at(bay, "B1"), 1, "half")

    with pytest.raises(ValidationError, match="A1 is an input"):
        saved(bay, "A", [point(1, side=Side.RETURN)])

    assert at(bay, "A1").side == Side.SEND


def test_normals_are_set_column_by_column(bay):
    normalled(at(bay, "A1"), at(bay, "B2"), 2, "full")

    assert links(bay) == {("A1", "B2", "full"), ("A2", "B3", "full")}


def test_normals_give_way_to_new_ones(bay):
    normalled(at(bay, "A1"), at(bay, "B1"), 3, "half")

    normalled(at(bay, "A1"), at(bay, "B2"), 1, "full")

    assert links(bay) == {("A1", "B2", "full"), ("A3", "B3", "half")}


def test_normals_are_taken_away(bay):
    normalled(at(bay, "A1"), at(bay, "B1"), 3, "half")

    made = normalled(at(bay, "A2"), at(bay, "B2"), 1, "")

    assert made == []
    assert links(bay) == {("A1", "B1", "half"), ("A3", "B3", "half")}


def test_normal_to_a_point_that_is_not_there_is_refused(bay):
    with pytest.raises(ValidationError, match="There is no point A4"):
        normalled(at(bay, "A3"), at(bay, "B2"), 2, "half")

    assert links(bay) == set()


@pytest.mark.parametrize(
    ("source", "destination", "said"),
    [("B1", "B2", "B1 is an input"), ("A1", "A2", "A2 is a source")],
)
def test_normal_leads_from_a_source_to_an_input(bay, source, destination, said):
    with pytest.raises(ValidationError, match=said):
        normalled(at(bay, source), at(bay, destination), 1, "half")


@pytest.mark.parametrize(
    ("levels", "said"),
    [
        (("microphone", "line"), "far too quiet"),
        (("line", "microphone"), "overload"),
        (("speaker", "line"), "speaker level to line level"),
        (("line", "line"), ""),
    ],
)
def test_normal_notices_levels_that_do_not_fit(levels, said):
    source, destination = (
        PatchPoint(row=row, column=1, level=level) for row, level in zip("AB", levels, strict=True)
    )

    notice = Normal(source=source, destination=destination).notice()

    assert said in notice
    assert bool(notice) == bool(said)


def test_row_that_somebody_else_saved_meanwhile_is_not_overwritten(bay):
    seen = bay.version
    saved(bay, "A", [point(1, "Theirs")])

    with pytest.raises(EditedMeanwhile):
        save_row(bay, version=seen, row="A", points=[point(1, "Mine")], tie_lines={})

    assert [each.label for each in bay.points.filter(row="A")] == ["Theirs"]


def test_normals_that_somebody_else_set_meanwhile_are_not_overwritten(bay):
    seen = bay.version
    normalled(at(bay, "A1"), at(bay, "B1"), 1, "half")

    with pytest.raises(EditedMeanwhile):
        set_normals(at(bay, "A1"), version=seen, destination=at(bay, "B2"), pairs=1, kind="full")

    assert links(bay) == {("A1", "B1", "half")}


def test_only_what_changed_enters_the_history(bay):
    first = at(bay, "A1")
    rows = [point(1, first.label), point(2, "New label"), point(3, at(bay, "A3").label)]

    saved(bay, "A", rows)
    normalled(first, at(bay, "B1"), 1, "half")

    assert first.history.count() == 1
    assert [entry.label for entry in at(bay, "A2").history.all()][0] == "New label"
    assert Normal.history.get().kind == "half"


def test_mult_takes_no_normal(bay):
    saved(bay, "A", [point(1, mult="1"), point(2), point(3)])

    with pytest.raises(ValidationError, match="A1 is a jack of mult 1"):
        normalled(at(bay, "A1"), at(bay, "B1"), 1, "half")
