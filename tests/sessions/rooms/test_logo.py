"""The studio’s logo: read in a process of its own, made anew, kept in its row."""

from io import BytesIO

import pytest
from django.urls import reverse
from PIL import Image

from sessions.rooms.forms import LARGEST_LOGO
from sessions.rooms.models import Studio
from studio.roles import Role
from tests.factories import UserFactory
from tests.sessions.setups.photos.pictures import NOTE, camera_jpeg, uploaded

pytestmark = pytest.mark.django_db
URL, PICTURE = reverse("rooms:logo"), reverse("rooms:logo_picture")
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


def send(web, content=b"", **more):
    seen = web.get(URL).context["seen"]
    files = {"picture": uploaded(content)} if content else {}
    return web.post(URL, files | {"seen": seen} | more)


def test_logo_is_made_anew_and_shown(client_of, manager):
    taken = camera_jpeg((3000, 600), kind="PNG")

    response = send(client_of(manager), taken)

    assert response.url == reverse("rooms:studio")
    studio = Studio.current()
    image = Image.open(BytesIO(studio.logo))
    assert (image.format, image.size, image.mode) == ("PNG", (1000, 200), "RGB")
    assert NOTE in taken
    assert NOTE not in studio.logo
    assert studio.history.first().history_user == manager
    picture = client_of(manager).get(PICTURE)
    assert (picture["Content-Type"], picture.content) == ("image/png", bytes(studio.logo))


def test_what_is_see_through_is_printed_on_white(client_of, manager):
    sheer = BytesIO()
    Image.new("RGBA", (40, 20), (0, 0, 0, 0)).save(sheer, "PNG")

    send(client_of(manager), sheer.getvalue())

    assert Image.open(BytesIO(Studio.current().logo)).getpixel((5, 5)) == (255, 255, 255)


@pytest.mark.parametrize(
    "content", [SVG, b"GIF89a" + bytes(64), b"", b"\x89PNG\r\n\x1a\n" + bytes(9)]
)
def test_what_is_no_picture_is_refused_beside_the_field(client_of, manager, content):
    page = send(client_of(manager), content)

    assert list(page.context["form"].errors) == ["picture"]
    assert not Studio.current().logo


def test_larger_than_the_page_takes_is_refused_unread(client_of, manager):
    page = send(client_of(manager), bytes(LARGEST_LOGO + 1))

    assert page.status_code in {200, 413}
    assert not Studio.current().logo


def test_logo_is_removed_and_its_history_kept(client_of, manager):
    web = client_of(manager)
    send(web, camera_jpeg())

    send(web, remove="on")

    assert not Studio.current().logo
    assert web.get(PICTURE).status_code == 404
    assert [each.history_change_reason for each in Studio.current().history.all()[:2]] == [
        "Logo removed",
        "Logo",
    ]


def test_second_editor_overwrites_no_logo_unseen(client_of, manager):
    web = client_of(manager)
    send(web, camera_jpeg())
    kept = bytes(Studio.current().logo)

    page = web.post(URL, {"picture": uploaded(camera_jpeg((90, 90))), "seen": 1})

    assert page.status_code == 409
    assert bytes(Studio.current().logo) == kept


def test_pressed_twice_it_is_saved_once(client_of, manager):
    web = client_of(manager)
    seen = web.get(URL).context["seen"]
    sent = {"seen": seen, "press": "3f0c", "remove": ""}

    answers = [web.post(URL, sent | {"picture": uploaded(camera_jpeg())}) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [302, 302]
    assert Studio.current().version == seen + 1


@pytest.mark.parametrize("role", [Role.ENGINEER, Role.ASSISTANT, Role.MIX_ENGINEER])
def test_only_managers_upload_one(client_of, role):
    web = client_of(UserFactory(role=role))

    assert (web.get(URL).status_code, web.get(PICTURE).status_code) == (403, 403)
