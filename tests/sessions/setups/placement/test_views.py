import pytest
from django.urls import reverse

from sessions.setups.chains.actions import Seen
from sessions.setups.models import Orientation, Placement
from sessions.setups.placement.actions import place_microphone
from tests.factories import PlacementFactory, RevisionFactory

pytestmark = pytest.mark.django_db


def page(name, thing):
    return reverse(f"setups:{name}", args=[thing.pk])


def typed(revision, **facts):
    return {"distance_cm": "20", "seen": str(Seen.of(revision))} | facts


def test_placement_is_written_down(client_of, assistant):
    revision = RevisionFactory()

    response = client_of(assistant).post(
        page("placement", revision.chain),
        typed(
            revision,
            height_cm="150",
            angle_deg="15",
            angle_towards="left",
            cable="No. 14",
            orientation=Orientation.HUNG,
            pattern="Cardioid",
            pop_filter_cm="8",
            note="By the window",
        ),
    )

    placement = Placement.objects.get()
    assert response.url == page("chain", revision.chain)
    assert (placement.distance_cm, placement.height_cm, placement.angle_deg) == (20, 150, 15)
    assert (placement.angle_towards, placement.cable) == ("left", "No. 14")
    assert (placement.orientation, placement.pattern) == ("hung", "Cardioid")
    assert (placement.pop_filter, placement.pop_filter_cm) == (True, 8)


def test_placement_page_says_how_to_hang_a_microphone(client_of, engineer):
    html = client_of(engineer).get(page("placement", RevisionFactory().chain)).content.decode()

    assert "A cable is no safety line" in html
    assert "maker’s instructions" in html


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("distance_cm", "-1"),
        ("height_cm", "-1"),
        ("pop_filter_cm", "-1"),
        ("angle_deg", "181"),
        ("angle_deg", "-1"),
    ],
)
def test_placement_that_cannot_be_is_refused_beside_its_field(client_of, engineer, field, value):
    revision = RevisionFactory()

    response = client_of(engineer).post(
        page("placement", revision.chain), typed(revision, **{field: value}, note="By the window")
    )

    assert response.context["form"].errors.keys() == {field}
    assert "By the window" in response.content.decode()
    assert not Placement.objects.exists()


def test_second_editor_of_a_placement_gets_both_versions(client_of, engineer, assistant):
    revision = RevisionFactory()
    sent = typed(revision, distance_cm="30", note="low")
    place_microphone(revision.chain, seen=Seen.of(revision), by=assistant, distance_cm=25, note="")
    client, address = client_of(engineer), page("placement", revision.chain)

    second = client.post(address, sent)

    assert second.status_code == 409
    assert second.context["rows"] == [("Distance", "25.0", "30"), ("Note", "", "low")]
    assert second.context["edit"] is not None
    assert Placement.objects.get().distance_cm == 25
    client.post(address, sent | {"seen": second.context["form"]["seen"].value()})
    assert Placement.objects.get().distance_cm == 30


@pytest.mark.parametrize(
    ("typed_pattern", "kept"),
    [
        ("fig 8", "Figure-of-eight"),
        ("Omni-directional", "Omnidirectional"),
        ("card., switch 3", "card., switch 3"),
        ("", ""),
    ],
)
def test_pattern_in_a_usual_spelling_is_kept_as_the_list_writes_it(
    client_of, engineer, typed_pattern, kept
):
    revision = RevisionFactory()

    client_of(engineer).post(
        page("placement", revision.chain), typed(revision, pattern=typed_pattern)
    )

    assert Placement.objects.get().pattern == kept


def test_pattern_that_is_not_known_is_refused_with_the_list(client_of, engineer):
    revision = RevisionFactory()

    response = client_of(engineer).post(
        page("placement", revision.chain), typed(revision, pattern="as it came")
    )

    [said] = response.context["form"].errors["pattern"]
    assert said.startswith("“as it came” is not a known pattern: write omnidirectional, wide")
    assert 'value="as it came"' in response.content.decode()
    assert not Placement.objects.exists()


def test_unknown_pattern_from_before_is_said_beside_the_field_and_stays(client_of, engineer):
    placement = PlacementFactory(pattern="as it came")
    address = page("placement", placement.revision.chain)

    html = client_of(engineer).get(address).content.decode()
    client_of(engineer).post(
        address, typed(placement.revision, pattern="as it came", distance_cm="33")
    )

    placement.refresh_from_db()
    assert "Not a known pattern: what it takes off at the side is not reckoned." in html
    assert (placement.pattern, placement.distance_cm) == ("as it came", 33)


def test_patterns_are_offered_as_a_list(client_of, engineer):
    html = client_of(engineer).get(page("placement", RevisionFactory().chain)).content.decode()

    assert 'list="id_pattern_list"' in html
    assert '<option value="Figure-of-eight">' in html
