import pytest
from django.urls import reverse

from gear.patchbay.forms import mult_notices
from gear.patchbay.models import Bay, Normal, PatchPoint, Side, TieLine
from tests.factories import BayFactory, PatchPointFactory, UnitFactory

pytestmark = pytest.mark.django_db

# who is signed in (2), then the bays and their number; the bay and its points
LIST_QUERIES = 4
BAY_QUERIES = 4
# the bay, its points, and the points to choose from on either side
NORMALS_QUERIES = 6


@pytest.fixture
def bay():
    return BayFactory(name="Bay 1")


def pair(bay, column, **facts):
    upper = PatchPointFactory(bay=bay, row="A", column=column, **facts)
    lower = PatchPointFactory(bay=bay, row="B", column=column, side=Side.RETURN)
    return upper, lower


def linked_pair(bay, column, kind="half"):
    upper, lower = pair(bay, column, unit=UnitFactory())
    TieLine.objects.create(room="Live room", box="Box 1", line=column, point=lower)
    Normal.objects.create(source=upper, destination=lower, kind=kind)
    return upper, lower


def row_address(bay, row):
    return reverse("patchbay:row_edit", args=[bay.pk, row])


def post_row(client, bay, row, text, **facts):
    """As somebody does who sees the row as it is."""
    seen = Bay.objects.get(pk=bay.pk).version
    facts = {"side": "send", "level": "line", "points": text, "seen": seen} | facts
    return client.post(row_address(bay, row), facts)


def post_normals(client, bay, source, destination, pairs, kind, **facts):
    facts = {"seen": Bay.objects.get(pk=bay.pk).version, "pairs": pairs, "kind": kind} | facts
    facts |= {"source": source.pk, "destination": destination.pk}
    return client.post(reverse("patchbay:normals", args=[bay.pk]), facts, follow=True)


def test_list_takes_the_same_queries_for_one_and_for_three(
    client_of, engineer, django_assert_num_queries
):
    client = client_of(engineer)
    for more in (1, 2):
        for bay in BayFactory.create_batch(more):
            pair(bay, 1)

        with django_assert_num_queries(LIST_QUERIES):
            page = client.get(reverse("patchbay:list"))

    counts = [(row.record.row_count, row.record.point_count) for row in page.context["table"].rows]
    assert counts == [(2, 2)] * 3


def test_bay_takes_the_same_queries_for_one_and_for_three(
    client_of, engineer, bay, django_assert_num_queries
):
    client = client_of(engineer)
    for columns in ([1], [2, 3]):
        for column in columns:
            linked_pair(bay, column)

        with django_assert_num_queries(BAY_QUERIES):
            client.get(bay.get_absolute_url())


def test_bay_says_everything_in_words(client_of, engineer, bay):
    upper, _ = linked_pair(bay, 1, kind="full")
    pair(bay, 2)

    text = client_of(engineer).get(bay.get_absolute_url()).content.decode()

    for words in (
        upper.label,
        upper.unit.asset_tag,
        "Source · line",
        "Input · line",
        "Normalled to B1",
        "Normalled from A1",
        "Tie line Live room, Box 1, 1",
        "Turn monitors and headphones down",
    ):
        assert words in text
    assert text.count("Open</span>") == 2


def test_assistant_sees_the_bay_but_no_way_to_edit_it(client_of, assistant, bay):
    pair(bay, 1)
    client = client_of(assistant)

    text = client.get(bay.get_absolute_url()).content.decode()

    assert row_address(bay, "A") not in text
    assert client.get(row_address(bay, "A")).status_code == 403


def test_bay_is_created_and_its_name_is_its_own(client_of, engineer):
    client = client_of(engineer)
    facts = {"name": "Bay 2", "location": "Rack 3", "note": ""}

    answer = client.post(reverse("patchbay:bay_create"), facts)
    again = client.post(reverse("patchbay:bay_create"), facts)

    assert answer.url == Bay.objects.get().get_absolute_url()
    assert "of this name already" in again.context["form"].errors["name"][0]


def test_bay_is_edited(client_of, engineer, bay):
    client_of(engineer).post(
        reverse("patchbay:bay_edit", args=[bay.pk]),
        {"name": "Bay 1", "location": "Machine room", "seen": 1},
    )

    bay.refresh_from_db()
    assert bay.location == "Machine room"


def test_row_is_typed_line_by_line(client_of, engineer, bay):
    unit = UnitFactory(asset_tag="QS-1")

    answer = post_row(
        client_of(engineer),
        bay,
        "A",
        "1; Preamp 1 out; QS-1; Line out\nBox line; Live room / Box 1 / 4; ; mic",
    )

    first, second = bay.points.all()
    assert answer.url == bay.get_absolute_url()
    assert (first.unit, first.socket, first.level) == (unit, "Line out", "line")
    assert (second.column, second.level, str(second.tie_line)) == (
        2,
        "microphone",
        "Live room, Box 1 4",
    )


def test_row_opens_as_it_was_typed(client_of, engineer, bay):
    text = "1; Preamp 1 out\n2; Box line; Live room / Box 1 / 4; ; microphone\n3; Preamp 3 out"
    client = client_of(engineer)
    post_row(client, bay, "A", text)

    form = client.get(row_address(bay, "A")).context["form"]

    assert form.initial == {
        "side": "send",
        "level": "line",
        "points": text,
    }


@pytest.mark.parametrize(("row", "side"), [("A", Side.SEND), ("B", Side.RETURN), ("C", Side.SEND)])
def test_new_row_starts_with_sources_above_inputs(client_of, engineer, bay, row, side):
    form = client_of(engineer).get(row_address(bay, row)).context["form"]

    assert form.initial["side"] == side


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1; Out; QS-404", "Column 1: there is no unit with the tag “QS-404”"),
        ("1; Out; Live room / Box 1 / 1", "comes up at Bay 1 Z1 already"),
        ("1; Out; Attic / Box / 1\n2; Out; Attic / Box / 1", "comes up at A1 already"),
        ("1; Out; Attic / Box / 9999", "Column 1: there is no unit"),
        (f"1; Out; Attic / {'x' * 41} / 1", "at most 40"),
        ("1; Out\n1; Out", "Line 2: column 1 is there twice"),
    ],
)
def test_row_that_cannot_be_is_refused_with_its_line(client_of, engineer, bay, text, said):
    point = PatchPointFactory(bay=bay, row="Z", column=1)
    TieLine.objects.create(room="Live room", box="Box 1", line=1, point=point)

    page = post_row(client_of(engineer), bay, "A", text)

    [error] = page.context["form"].errors["points"]
    assert said in error
    assert page.context["form"]["points"].value() == text
    assert not bay.points.filter(row="A").exists()


def test_normals_start_at_the_first_open_pair(client_of, engineer, bay):
    linked_pair(bay, 1)
    upper, lower = pair(bay, 2)

    form = client_of(engineer).get(reverse("patchbay:normals", args=[bay.pk])).context["form"]

    assert (form.initial["source"], form.initial["destination"]) == (upper, lower)


def test_normals_take_the_same_queries_for_one_and_for_three(
    client_of, engineer, bay, django_assert_num_queries
):
    client = client_of(engineer)
    for columns in ([1], [2, 3]):
        for column in columns:
            linked_pair(bay, column)

        with django_assert_num_queries(NORMALS_QUERIES):
            client.get(reverse("patchbay:normals", args=[bay.pk]))


def test_normals_are_set_and_odd_levels_noticed(client_of, engineer, bay):
    upper, lower = pair(bay, 1, level="microphone")
    pair(bay, 2)

    page = post_normals(client_of(engineer), bay, upper, lower, 2, "half")

    assert Normal.objects.count() == 2
    said = [str(message) for message in page.context["messages"]]
    assert said[1:] == ["Normals saved."]
    assert "A1 to B1 brings a microphone to a line input" in said[0]


def test_too_many_pairs_are_refused_beside_their_field(client_of, engineer, bay):
    upper, lower = pair(bay, 1)

    page = post_normals(client_of(engineer), bay, upper, lower, 2, "full")

    assert "There is no point A2" in page.context["form"].errors["pairs"][0]
    assert not Normal.objects.exists()


def test_normal_offers_only_points_of_its_bay(client_of, engineer, bay):
    upper, _ = pair(bay, 1)
    _, elsewhere = pair(BayFactory(), 1)

    page = post_normals(client_of(engineer), bay, upper, elsewhere, 1, "full")

    assert list(page.context["form"].errors) == ["destination"]


@pytest.mark.parametrize("page", ["bay_detail", "bay_edit", "normals"])
def test_bay_that_is_not_there_answers_404(client_of, engineer, page):
    assert client_of(engineer).get(reverse(f"patchbay:{page}", args=[0])).status_code == 404


def test_row_saved_by_two_shows_the_second_both_versions(client_of, engineer, assistant, bay):
    client = client_of(engineer)
    seen = client.get(row_address(bay, "A")).context["seen"]
    post_row(client_of(engineer), bay, "A", "1; Theirs")

    page = post_row(client, bay, "A", "1; Mine", seen=seen)

    assert page.status_code == 409
    assert page.context["meanwhile"].differences == [("Points", "1; Theirs", "1; Mine")]
    assert page.context["meanwhile"].entry.history_change_reason == "Row A"
    assert bay.points.get().label == "Theirs"
    again = post_row(client, bay, "A", "1; Mine", seen=page.context["seen"])
    assert again.url == bay.get_absolute_url()


def test_normals_set_by_two_are_shown_to_the_second(client_of, engineer, bay):
    upper, lower = linked_pair(bay, 1)

    page = post_normals(client_of(engineer), bay, upper, lower, 1, "full", seen=0)

    assert page.status_code == 409
    assert page.context["meanwhile"].differences == [("A1", "Half-normalled to B1", "Normalled")]
    assert Normal.objects.get().kind == "half"
    post_normals(client_of(engineer), bay, upper, lower, 1, "full", seen=page.context["seen"])
    assert Normal.objects.get().kind == "full"


def test_bay_edited_by_two_tells_the_second(client_of, engineer, bay):
    client = client_of(engineer)
    address = reverse("patchbay:bay_edit", args=[bay.pk])
    seen = client.get(address).context["seen"]
    client.post(address, {"name": "Bay 1", "location": "Loft", "seen": seen})

    page = client.post(address, {"name": "Bay 1", "location": "Cellar", "seen": seen})

    assert page.context["meanwhile"].differences == [("Location", "Loft", "Cellar")]


def test_row_with_a_mult_says_what_it_lacks(client_of, engineer, bay):
    client = client_of(engineer)

    page = client.get(
        post_row(client, bay, "A", "1; Mult a; mult Strings\n2; Mult b; mult Strings").url
    )

    assert [point.mult for point in bay.points.all()] == ["Strings", "Strings"]
    said = [str(message) for message in page.context["messages"]]
    assert said[:-1] == ["Mult Strings has no input: mark the jack that its source goes into."]
    assert "Mult Strings" in page.content.decode()
    form = client.get(row_address(bay, "A")).context["form"]
    assert form.initial["points"] == "1; Mult a; mult Strings\n2; Mult b; mult Strings"


@pytest.mark.parametrize(
    ("sides", "said"),
    [
        ("send send", "has no input"),
        ("return return send send", "has the inputs A1 and A2"),
        ("return send", "fewer than two jacks"),
        ("return send send", ""),
    ],
)
def test_mult_copies_one_source(sides, said):
    points = [
        PatchPoint(row="A", column=column, side=side, mult="1")
        for column, side in enumerate(sides.split(), 1)
    ]

    notices = mult_notices(points)

    assert [said in notice for notice in notices] == ([True] if said else [])
