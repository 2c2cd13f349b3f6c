import struct
import zlib
from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from sessions.pictures.child import picture_in_child
from sessions.pictures.decoding import LONG_SIDE, MOST_PIXELS, NotAPicture, photo_of
from tests.sessions.setups.photos.pictures import NOTE, PLACE, camera_jpeg, uploaded

# ITU-T T.81, table B.1: what a JPEG of pixels alone is made of; APP0 is JFIF's (T.871).
PIXELS_ALONE = {0xC0, 0xC2, 0xC4, 0xDA, 0xDB, 0xE0}


def markers_of(jpeg: bytes) -> set[int]:
    """The segments before the first scan, by T.81, B.1.1."""
    found, at = set(), 2
    while at < len(jpeg):
        assert jpeg[at] == 0xFF
        found.add(jpeg[at + 1])
        if jpeg[at + 1] == 0xDA:
            break
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4])
    return found


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_but_the_picture_is_kept(kind):
    taken = camera_jpeg(kind=kind)
    kept, width, height = photo_of(taken)

    image = Image.open(BytesIO(kept))
    assert NOTE in taken
    assert NOTE not in kept
    assert PLACE not in kept
    assert b"profile" not in kept
    assert markers_of(kept) <= PIXELS_ALONE
    assert dict(image.getexif()) == {}
    assert image.getexif().get_ifd(0x8825) == {}
    assert image.info.keys() == {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert image.size == (width, height) == (640, 480)


# Exif 2.32, 4.6.4: which way the first row and the first column of the file are shown.
@pytest.mark.parametrize(
    ("orientation", "size", "red"),
    [
        (1, (640, 480), "left"),
        (2, (640, 480), "right"),
        (3, (640, 480), "right"),
        (6, (480, 640), "top"),
        (8, (480, 640), "bottom"),
    ],
)
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_picture_is_turned_upright(orientation, size, red, kind):
    kept, *_ = photo_of(camera_jpeg(orientation=orientation, kind=kind))

    image = Image.open(BytesIO(kept))
    width, height = image.size
    edges = {
        "left": (10, height // 2),
        "right": (width - 10, height // 2),
        "top": (width // 2, 10),
        "bottom": (width // 2, height - 10),
    }
    is_red = {edge for edge, at in edges.items() if image.getpixel(at)[0] > 200}
    assert image.size == size
    assert red in is_red
    assert len(is_red & ({"left", "right"} if red in ("left", "right") else {"top", "bottom"})) == 1


@pytest.mark.parametrize("size", [(5000, 3000), (3000, 5000), (2048, 100)])
def test_large_picture_is_scaled_down_and_a_small_one_is_not_blown_up(size):
    _, width, height = photo_of(camera_jpeg(size))

    assert max(width, height) == min(LONG_SIDE, max(size))
    assert width / height == pytest.approx(size[0] / size[1], rel=0.01)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "CMYK", "I;16"])
def test_picture_of_any_mode_is_kept_in_colours(mode):
    written = BytesIO()
    image = Image.new(mode, (30, 20))
    image.save(written, "JPEG" if mode == "CMYK" else "PNG")

    kept, *_ = photo_of(written.getvalue())

    assert Image.open(BytesIO(kept)).mode == "RGB"


def _png(width: int, height: int) -> bytes:
    """A PNG that says it is that large and holds nothing."""

    def chunk(kind, data):
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b""))


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "no picture"),
        (b"This is no picture.", "no picture"),
        (b"<svg onload='alert(1)'/>", "no picture"),
        (camera_jpeg()[:900], "damaged"),
        (b"\0\0\0\x18ftypheic\0\0\0\0", "JPEG"),
        (_png(9000, 9000), f"{MOST_PIXELS // 1_000_000} million pixels"),
        (_png(60_000, 60_000), f"{MOST_PIXELS // 1_000_000} million pixels"),
    ],
)
def test_what_is_no_photograph_is_refused_in_words(content, said):
    with pytest.raises(NotAPicture, match=said):
        picture_in_child(uploaded(content), taken_as="photo")


@given(
    st.binary(max_size=400), st.sampled_from([b"", b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF"])
)
def test_any_bytes_are_a_picture_or_refused_in_words(content, start):
    try:
        kept, width, height = photo_of(start + content)
    except NotAPicture:
        return
    assert Image.open(BytesIO(kept)).size == (width, height)


@given(st.data())
def test_damaged_picture_is_a_picture_or_refused_in_words(data):
    content = bytearray(camera_jpeg((64, 48)))
    for _ in range(data.draw(st.integers(1, 8))):
        at = data.draw(st.integers(0, len(content) - 1))
        content[at] = data.draw(st.integers(0, 255))

    try:
        kept, *_ = photo_of(bytes(content))
    except NotAPicture:
        return
    assert markers_of(kept) <= PIXELS_ALONE


def test_picture_that_swells_harms_nobody():
    """72 million pixels of one colour: 200 kB as a file, 290 MB in memory; refused or kept."""
    written = BytesIO()
    Image.new("RGBA", (9000, 8000), "teal").save(written, "PNG", compress_level=9)

    picture = picture_in_child(uploaded(written.getvalue()), taken_as="photo")

    assert (picture.width, picture.height) == (2048, 1820)
