from datetime import timedelta
from io import BytesIO

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from sessions.editing.presses import FIELD, new_number
from sessions.setups.chains.actions import Seen, change_stage, fix_revision
from sessions.setups.chains.summary import Completeness, completeness
from sessions.setups.copying.actions import copy_setup
from sessions.setups.models import Photo, Setup, Source, Subject
from sessions.setups.photos.actions import remove_photo, take_photo
from sessions.setups.photos.forms import LARGEST_PHOTO
from sessions.setups.photos.subjects import subjects_of
from sessions.storing import remove_without_row
from tests.factories import (
    ChainFactory,
    ControlFactory,
    PatchPointFactory,
    PhotoFactory,
    RevisionFactory,
    SetupFactory,
    StageFactory,
)
from tests.sessions.setups.photos.pictures import camera_jpeg, uploaded

pytestmark = pytest.mark.django_db


def page(name, thing):
    return reverse(f"setups:{name}", args=[thing.pk])


def take(client, setup, about, **more):
    sent = {"about": about, "picture": uploaded(camera_jpeg(orientation=6))} | more
    return client.post(page("photo_take", setup), sent)


def picture_of(response):
    return Image.open(BytesIO(b"".join(response)))


@pytest.fixture
def stage():
    return StageFactory(revision=RevisionFactory(), channel=3, settings={"gain": 30})


def test_unit_is_photographed_in_one_press(client_of, assistant, stage):
    chain = stage.revision.chain
    client = client_of(assistant)

    response = take(client, chain.setup, stage.photo_key)

    photo = Photo.objects.get()
    assert response.url == f"{page('chain', chain)}#photos"
    assert (photo.subject, photo.unit, photo.channel) == ("unit", stage.unit, 3)
    assert (photo.revision, photo.taken_by) == (stage.revision, assistant)
    assert (photo.width, photo.height) == (480, 640)
    assert "etc" not in photo.file.name
    assert page("photo", photo) in client.get(page("chain", chain)).content.decode()


@pytest.mark.parametrize("about", ["setup", "floor"])
def test_setup_and_floor_are_photographed(client_of, engineer, about):
    setup = SetupFactory()

    response = take(client_of(engineer), setup, about, caption="From the door")

    photo = Photo.objects.get()
    assert response.url == page("photos", setup)
    assert (photo.subject, photo.revision, photo.caption) == (about, None, "From the door")


def test_rack_and_bay_of_its_units_can_be_photographed(client_of, engineer):

    point = PatchPointFactory()
    stage = StageFactory(
        unit__home_room="Control room", unit__rack="Rack 2", unit__slot="4", patch_in=point
    )
    setup, client = stage.revision.chain.setup, client_of(engineer)

    take(client, setup, "rack-Control room · Rack 2")
    take(client, setup, f"bay-{point.bay_id}")

    assert list(Photo.objects.values_list("subject", "about", "bay")) == [
        ("rack", "Control room · Rack 2", None),
        ("bay", str(point.bay), point.bay_id),
    ]


def test_picture_pressed_twice_is_kept_once(client_of, engineer, stage, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    client, number = client_of(engineer), new_number()
    setup = stage.revision.chain.setup

    first = take(client, setup, stage.photo_key, **{FIELD: number})
    second = take(client, setup, stage.photo_key, **{FIELD: number})

    assert first.url == second.url
    assert Photo.objects.count() == 1
    assert len(list(tmp_path.rglob("*.jpg"))) == 1


def test_what_is_no_picture_is_refused_beside_its_field(client_of, engineer, stage):
    setup = stage.revision.chain.setup

    response = take(
        client_of(engineer),
        setup,
        stage.photo_key,
        picture=uploaded(b"This is no picture."),
        caption="Left of the door",
    )

    assert response.status_code == 422
    assert response.context["form"].errors.keys() == {"picture"}
    assert "Left of the door" in response.content.decode()
    assert not Photo.objects.exists()


def test_picture_that_is_too_large_is_refused_beside_its_field(client_of, engineer):

    response = take(
        client_of(engineer), SetupFactory(), "setup", picture=uploaded(bytes(LARGEST_PHOTO + 1))
    )

    assert response.context["form"].errors.keys() == {"picture"}


def test_picture_is_served_to_who_may_see_the_session_and_to_nobody_else(
    client, client_of, mix_engineer
):
    photo = PhotoFactory()
    address = page("photo_file", photo)

    assert client.get(address).status_code == 302
    assert client_of(mix_engineer).get(address).status_code == 404
    assert client_of(mix_engineer).get(page("photo", photo)).status_code == 404


def test_picture_is_served_as_what_it_is(client_of, engineer):
    photo = PhotoFactory()
    client = client_of(engineer)

    whole = client.get(page("photo_file", photo))
    small = client.get(f"{page('photo_file', photo)}?small")
    again = client.get(page("photo_file", photo), HTTP_IF_NONE_MATCH=whole["ETag"])

    assert whole["Content-Type"] == small["Content-Type"] == "image/jpeg"
    assert whole["X-Content-Type-Options"] == small["X-Content-Type-Options"] == "nosniff"
    assert "private" in whole["Cache-Control"]
    assert picture_of(whole.streaming_content).size == (40, 30)
    assert picture_of([small.content]).size == (40, 30)
    assert again.status_code == 304


def test_picture_whose_file_is_missing_is_not_there(client_of, engineer):
    photo = PhotoFactory()
    photo.file.storage.delete(photo.file.name)

    assert client_of(engineer).get(page("photo_file", photo)).status_code == 404
    assert client_of(engineer).get(f"{page('photo_file', photo)}?small").status_code == 404


def test_photograph_of_a_fixed_revision_is_no_new_revision(client_of, engineer, stage):
    """r1 (fixed)   photographed after the take: r1 has the photograph"""
    fix_revision(stage.revision)

    take(client_of(engineer), stage.revision.chain.setup, stage.photo_key)

    assert Photo.objects.get().revision == stage.revision
    assert stage.revision.chain.revisions.count() == 1


def test_later_revision_says_that_a_photograph_is_of_an_earlier_one(client_of, engineer):
    """r1 (fixed, photographed, gain 30)   ->   r2 gain 36"""
    stage = StageFactory(settings={"gain": 30})
    ControlFactory(panel=stage.panel, key="gain", label="Gain")
    chain, client = stage.revision.chain, client_of(engineer)
    take(client, chain.setup, stage.photo_key)
    fix_revision(stage.revision)
    before = client.get(page("chain", chain)).context["path"].photos[0]
    change_stage(stage, seen=Seen.of(stage.revision), by=engineer, settings={"gain": 36})

    (after,) = client.get(page("chain", chain)).context["path"].photos
    (then,) = client.get(page("revision", stage.revision)).context["path"].photos

    assert (before.standing, then.standing) == ("", "")
    assert (after.earlier, after.changed) == (1, ("Gain",))


def test_photograph_tells_what_was_changed_in_place_since(client_of, engineer):
    """r1 (open) photographed at gain 30   ->   r1 gain 36: the photograph shows 30"""
    stage = StageFactory(settings={"gain": 30})
    ControlFactory(panel=stage.panel, key="gain", label="Gain")
    chain, client = stage.revision.chain, client_of(engineer)
    take(client, chain.setup, stage.photo_key)
    take(client, chain.setup, "setup")
    change_stage(stage, seen=Seen.of(stage.revision), by=engineer, settings={"gain": 36, "pad": 1})

    (of_unit,) = client.get(page("chain", chain)).context["path"].photos
    (of_setup,) = client.get(page("photos", chain.setup)).context["whole"]

    assert (of_unit.earlier, of_unit.changed) == (None, ("Gain",))
    assert of_setup.changed == (f"{stage.unit.asset_tag} Gain",)


def test_photograph_is_removed_until_a_take_uses_its_revision(client_of, engineer, stage):
    client = client_of(engineer)
    kept, removed = (
        PhotoFactory(revision=stage.revision, subject=Subject.SOURCE, about="Voice")
        for _ in range(2)
    )

    client.post(page("photo_remove", removed))
    fix_revision(stage.revision)
    client.post(page("photo_remove", kept))

    assert list(Photo.objects.all()) == [kept]
    assert [entry.history_user for entry in Photo.history.filter(history_type="-")] == [engineer]


def test_copy_of_a_setup_has_no_photographs(client_of, engineer, stage):

    setup = stage.revision.chain.setup
    PhotoFactory(setup=setup)
    PhotoFactory(
        revision=stage.revision, subject=Subject.UNIT, unit=stage.unit, channel=3, reads=["tone"]
    )

    copy = copy_setup(setup, to=setup.session, name="Afternoon", by=engineer).copy

    assert not copy.photos.exists()
    assert copy.chains.get().newest_revision().stages.get().photographed == frozenset()


@pytest.mark.parametrize("name", ["photos", "photo_take"])
def test_queries_do_not_grow_with_the_setup(
    client_of, engineer, name, django_assert_num_queries, stage
):
    setup, client = stage.revision.chain.setup, client_of(engineer)

    def more():
        other = StageFactory(revision__chain=ChainFactory(setup=setup))
        facts = {"subject": Subject.UNIT, "unit": other.unit, "about": "Preamplifier"}
        PhotoFactory(revision=other.revision, **facts)
        PhotoFactory(setup=setup)

    more()
    client.get(page(name, setup))
    with django_assert_num_queries(99, exact=False) as first:
        client.get(page(name, setup))
    more()
    more()
    with django_assert_num_queries(len(first), exact=True):
        client.get(page(name, setup))


@pytest.mark.parametrize(
    ("typed", "reads"),
    [({"reads": ["tone"]}, ["tone"]), ({"all_of_them": "on"}, ["tone", "level"]), ({}, [])],
)
def test_controls_stand_as_photographed_and_not_logged(client_of, assistant, typed, reads):
    """gain is logged; tone and level are not, and may be read on the photograph"""
    stage = StageFactory(settings={"gain": 30})
    for position, key in enumerate(("gain", "tone", "level"), 1):
        ControlFactory(panel=stage.panel, key=key, label=key.capitalize(), position=position)
    photo = PhotoFactory(revision=stage.revision, subject=Subject.UNIT, unit=stage.unit)
    client = client_of(assistant)

    client.post(page("photo_edit", photo), {"seen": 1, "caption": "Close"} | typed)

    html = client.get(page("chain", stage.revision.chain)).content.decode()
    path = client.get(page("chain", stage.revision.chain)).context["path"]
    shown = [setting for group in path.stages[0].groups for setting in group.controls]
    photo.refresh_from_db()
    assert (photo.caption, photo.reads) == ("Close", reads)
    assert [each.control.key for each in shown if each.is_photographed] == reads
    assert path.completeness == Completeness(1, 3, len(reads))
    assert html.count("photographed, not logged") == len(reads)


def test_logged_control_does_not_count_as_photographed(engineer):
    stage = StageFactory(settings={"gain": 30})
    for position, key in enumerate(("gain", "tone"), 1):
        ControlFactory(panel=stage.panel, key=key, position=position)
    photo = PhotoFactory(
        revision=stage.revision, subject=Subject.UNIT, unit=stage.unit, reads=["gain", "tone"]
    )

    def counted():
        return completeness(stage.revision.chain.newest_revision())

    assert str(counted()) == "1 of 2 controls logged, 50 %; 1 photographed"
    change_stage(stage, seen=Seen.of(stage.revision), by=engineer, settings={"gain": 30, "tone": 4})
    assert counted() == Completeness(2, 2, 0)
    remove_photo(photo, by=engineer)
    assert counted() == Completeness(2, 2, 0)


def test_file_without_a_row_goes_and_one_with_a_row_stays(tmp_path, settings):
    """A process that is killed between file and row leaves the file, never the reverse."""
    settings.MEDIA_ROOT = tmp_path
    kept, removed = PhotoFactory(), PhotoFactory()
    Photo.objects.filter(pk=removed.pk).delete()
    now = timezone.now()

    remove_without_row(now)
    soon = {path.name for path in tmp_path.rglob("*.jpg")}
    remove_without_row(now + timedelta(minutes=61))
    later = {path.name for path in tmp_path.rglob("*.jpg")}

    assert {kept.file.name, removed.file.name} == {f"photos/{name}" for name in soon}
    assert {kept.file.name} == {f"photos/{name}" for name in later}


def test_photograph_that_cannot_be_saved_leaves_no_file(
    client_of, engineer, stage, tmp_path, settings
):
    settings.MEDIA_ROOT = tmp_path
    photo = subjects_of(Setup.objects.with_chains().get())[stage.photo_key]

    def fails(_):
        raise OSError("The disk is full.")

    with pytest.raises(OSError, match="full"):
        take_photo(photo, upload=uploaded(camera_jpeg()), by=engineer, then=fails)

    assert not Photo.objects.exists()
    assert list(tmp_path.rglob("*.jpg")) == []


def test_database_keeps_the_photographs_of_a_fixed_revision(stage):
    photo = PhotoFactory(revision=stage.revision, subject=Subject.SOURCE)
    fix_revision(stage.revision)

    for change in (lambda rows: rows.delete(), lambda rows: rows.update(sha256="f" * 64)):
        with pytest.raises(IntegrityError, match="photo_"), transaction.atomic():
            change(Photo.objects.filter(pk=photo.pk))


def test_photograph_of_a_source_tells_what_was_changed_since(client_of, engineer, stage):
    chain, client = stage.revision.chain, client_of(engineer)
    Source.objects.update(tuning="drop D")
    take(client, chain.setup, f"source-{chain.pk}")
    Source.objects.update(tuning="capo 2")

    (photo,) = client.get(page("chain", chain)).context["path"].photos

    assert photo.changed == ("tuning",)
