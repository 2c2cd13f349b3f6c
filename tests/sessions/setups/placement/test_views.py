from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from sessions.setups.chains.actions import Seen, fix_revision
from sessions.setups.models import Orientation, Placement
from sessions.setups.placement.actions import place_microphone
from sessions.setups.placement.forms import PlacementForm
from tests.factories import PlacementFactory, RevisionFactory

pytestmark = pytest.mark.django_db


def page(name, thing):
    return reverse(f"setups:{name}", args=[thing.pk])


def typed(revision, **facts):
    return {"distance_cm": "20", "seen": str(Seen.of(revision))} | facts


def picture(kind="PNG", name="../booth.png", size=(4, 3)):
    content = BytesIO()
    Image.new("RGB", size, "white").save(content, kind)
    return SimpleUploadedFile(name, content.getvalue(), "image/png")


def picture_of(response):
    return BytesIO(b"".join(response.streaming_content))


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


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_photo_is_kept_under_a_name_of_ours_and_shown_as_what_it_is(client_of, engineer, kind):
    revision = RevisionFactory()
    client = client_of(engineer)

    client.post(page("placement", revision.chain), typed(revision, photo=picture(kind)))

    placement = Placement.objects.get()
    assert "booth" not in placement.photo.name
    response = client.get(page("photo", placement))
    assert response["Content-Type"] == f"image/{kind.lower()}"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert Image.open(picture_of(response)).size == (4, 3)


@pytest.mark.parametrize(
    "photo",
    [
        SimpleUploadedFile("notes.png", b"This is no picture.", "image/png"),
        SimpleUploadedFile("page.svg", b"<svg onload='alert(1)'/>", "image/svg+xml"),
        SimpleUploadedFile("cut.png", picture().read()[:40], "image/png"),
        picture("GIF", "moving.gif"),
        picture("PNG", "page.html"),
    ],
    ids=["text", "svg", "cut short", "gif", "html name"],
)
def test_photo_that_is_no_picture_of_the_kinds_we_show_is_refused(client_of, engineer, photo):
    revision = RevisionFactory()
    photo.seek(0)

    response = client_of(engineer).post(
        page("placement", revision.chain), typed(revision, photo=photo)
    )

    assert response.context["form"].errors.keys() == {"photo"}
    assert not Placement.objects.exists()


def test_photo_with_too_many_pixels_is_refused():
    content = BytesIO()
    Image.new("1", (9_000, 7_000)).save(content, "PNG")
    photo = SimpleUploadedFile("huge.png", content.getvalue(), "image/png")

    form = PlacementForm({"seen": "1.1"}, {"photo": photo})

    assert "million pixels" in form.errors["photo"][0]


def test_photo_stays_unless_it_is_taken_out(client_of, engineer):
    revision = RevisionFactory()
    client, address = client_of(engineer), page("placement", revision.chain)
    client.post(address, typed(revision, photo=picture()))
    revision.refresh_from_db()

    client.post(address, typed(revision, distance_cm="25"))
    kept = Placement.objects.get().photo.name
    revision.refresh_from_db()
    client.post(address, typed(revision, remove_photo="on"))

    assert kept.endswith(".png")
    assert Placement.objects.get().photo.name == ""


def test_photo_of_a_fixed_revision_outlives_the_next_one_s(client_of, engineer):
    """r1 with a photo (fixed)   ->   r2 without"""
    revision = RevisionFactory()
    client, address = client_of(engineer), page("placement", revision.chain)
    client.post(address, typed(revision, photo=picture()))
    revision.refresh_from_db()
    fix_revision(revision)

    client.post(address, typed(revision, remove_photo="on"))

    old, new = Placement.objects.order_by("revision__number")
    assert new.photo.name == ""
    assert Image.open(picture_of(client.get(page("photo", old)))).size == (4, 3)


def test_photo_of_a_project_that_is_not_theirs_is_not_there(
    client_of, mix_engineer, mixed_project, engineer
):
    revision = RevisionFactory()
    client_of(engineer).post(page("placement", revision.chain), typed(revision, photo=picture()))

    response = client_of(mix_engineer).get(page("photo", Placement.objects.get()))

    assert response.status_code == 404


def test_photo_whose_file_is_missing_or_of_another_kind_is_not_there(client_of, engineer):
    missing = PlacementFactory(photo="placements/gone.png")
    other = PlacementFactory(photo="placements/page.html")
    none = PlacementFactory()

    for placement in (missing, other, none):
        assert client_of(engineer).get(page("photo", placement)).status_code == 404


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
