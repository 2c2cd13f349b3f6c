import pytest
from django.urls import reverse

from sessions.setups.chains.actions import Seen
from sessions.setups.models import Orientation, Placement
from sessions.setups.placement.actions import place_microphone
from tests.factories import RevisionFactory

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
            angle_deg="-15",
            orientation=Orientation.HUNG,
            pattern="Cardioid",
            pop_filter_cm="8",
            note="By the window",
        ),
    )

    placement = Placement.objects.get()
    assert response.url == page("chain", revision.chain)
    assert (placement.distance_cm, placement.height_cm, placement.angle_deg) == (20, 150, -15)
    assert (placement.orientation, placement.pattern) == ("hung", "Cardioid")
    assert (placement.pop_filter, placement.pop_filter_cm) == (True, 8)


def test_placement_page_says_how_to_hang_a_microphone(client_of, engineer):
    html = client_of(engineer).get(page("placement", RevisionFactory().chain)).content.decode()

    assert "A cable is no safety line" in html
    assert "maker’s instructions" in html


@pytest.mark.parametrize(
    ("field", "value"),
    [("distance_cm", "-1"), ("height_cm", "-1"), ("pop_filter_cm", "-1"), ("angle_deg", "181")],
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
