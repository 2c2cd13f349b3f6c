"""Pictures that came with a file are looked into before anybody is shown them."""

import base64
import io
from hashlib import sha256

import pytest
from PIL import Image

from sessions.recall.imported.pictures import LARGEST_SIDE, check_pictures
from sessions.recall.imported.sense import NotARecall
from sessions.recall.imported.shown.photos import photos_told

FACTS = {
    "file": "a.jpg",
    "sha256": "0" * 64,
    "subject": "placement",
    "about": "Cornet",
    "unit": None,
    "channel": None,
    "setup": "Band",
    "caption": "",
    "taken_at": "2026-11-28T10:00:00+00:00",
    "earlier_revision": None,
    "changed_since": [],
}


def picture(kind="JPEG", size=(80, 60)) -> bytes:
    written = io.BytesIO()
    Image.new("L", size, 128).save(written, kind)
    return written.getvalue()


def with_picture(content: bytes, **changes) -> dict:
    said = {
        "media_type": "image/jpeg",
        "sha256": sha256(content).hexdigest(),
        "base64": base64.b64encode(content).decode(),
    }
    return {"chains": [{"photos": [FACTS | {"picture": said | changes}]}], "photos": [FACTS]}


def test_picture_is_shown_from_an_address_that_holds_it():
    data = with_picture(picture())
    check_pictures(data)

    [shown] = photos_told(data["chains"][0]["photos"])
    [without] = photos_told(data["photos"])

    assert base64.b64decode(shown.at.removeprefix("data:image/jpeg;base64,")) == picture()
    assert (without.at, f"{without.photo}") == ("", "Placement: Cornet")


@pytest.mark.parametrize(
    "data",
    [
        with_picture(b"<svg onload='alert(1)'/>"),
        with_picture(b"<html><script>alert(1)</script>"),
        with_picture(picture("PNG")),
        with_picture(picture()[:300]),
        with_picture(picture(size=(LARGEST_SIDE + 1, 10))),
        with_picture(picture(), sha256="0" * 64),
        with_picture(picture(), base64='"><script>'),
        with_picture(b""),
    ],
)
def test_what_is_no_small_picture_is_refused_in_a_sentence(data):
    with pytest.raises(NotARecall, match="The picture of “Cornet” is damaged"):
        check_pictures(data)
