"""Smaller pictures of photographs of ours: in colour for pages, in grey for paper and for data."""

from base64 import b64encode
from io import BytesIO

import numpy as np
from django.core.cache import cache
from PIL import Image, ImageFilter, ImageOps

from sessions.setups.models import Photo

ON_PAGES, ON_PAPER = (480, 480), (400, 400)  # pixels; on paper 40 mm at 254 to the inch
GREY_BYTES = 24_000  # at most, so that a sheet's data stay small
_QUALITIES = (80, 65, 50, 35)
QUIET = 5  # of 255: what differs by less is noise, and is not made more of


def reduced(photo: Photo, size: tuple[int, int] = ON_PAGES) -> bytes:
    """As JPEG. Raises FileNotFoundError."""
    written = BytesIO()
    with photo.file.open("rb") as file, Image.open(file, formats=("JPEG",)) as image:
        image.thumbnail(size)
        image.save(written, "JPEG", quality=80)
    return written.getvalue()


def grey(photo: Photo) -> bytes | None:
    """As JPEG of at most GREY_BYTES, with such contrast that it outlives a photocopier; None where its
    file is missing. Asked for again, it costs nothing."""
    key = f"grey-{photo.sha256}"
    if picture := cache.get(key):
        return picture
    try:
        picture = _grey(photo)
    except FileNotFoundError:
        return None
    cache.set(key, picture, timeout=None)
    return picture


def for_paper(photo: Photo) -> str:
    """As an address that holds the picture itself; empty where its file is missing."""
    picture = grey(photo)
    return f"data:image/jpeg;base64,{b64encode(picture).decode()}" if picture else ""


def _grey(photo: Photo) -> bytes:
    with photo.file.open("rb") as file, Image.open(file, formats=("JPEG",)) as image:
        image.draft("L", ON_PAPER)
        image.thumbnail(ON_PAPER)
        picture = with_contrast(image.convert("L"))
    for quality in _QUALITIES:
        written = BytesIO()
        picture.save(written, "JPEG", quality=quality)
        if written.tell() <= GREY_BYTES:
            return written.getvalue()
    return _smaller(picture)


def _smaller(picture: Image.Image) -> bytes:
    while True:
        picture = picture.resize((max(1, picture.width * 3 // 4), max(1, picture.height * 3 // 4)))
        written = BytesIO()
        picture.save(written, "JPEG", quality=_QUALITIES[-1])
        if written.tell() <= GREY_BYTES:
            return written.getvalue()


def with_contrast(picture: Image.Image) -> Image.Image:
    """Of a grey picture: what is lighter than what surrounds it comes out light, and the other way
    round, so that dark gear before a dark curtain still has an outline in black and white."""
    stretched = np.asarray(ImageOps.autocontrast(picture, cutoff=1), dtype=float)
    reach = max(picture.size) // 12
    around = _around(stretched, reach)
    spread = np.sqrt(np.maximum(_around((stretched - around) ** 2, reach), 0))
    beside = 128 + 48 * (stretched - around) / (spread + QUIET)
    mixed = np.clip(0.2 * stretched + 0.8 * beside, 0, 255)
    return Image.fromarray(mixed.astype(np.uint8)).filter(ImageFilter.UnsharpMask(2, 80, 2))


def _around(figures: np.ndarray, reach: int) -> np.ndarray:
    """The mean of the square about each, in which the edge goes on as it is."""
    side = 2 * reach + 1
    sums = np.pad(figures, reach, mode="edge").cumsum(0).cumsum(1)
    sums = np.pad(sums, ((1, 0), (1, 0)))
    squares = sums[side:, side:] - sums[:-side, side:] - sums[side:, :-side] + sums[:-side, :-side]
    return squares / side**2
