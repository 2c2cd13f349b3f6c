"""Smaller pictures of photographs of ours: in colour for pages, in grey for paper and for data."""

from base64 import b64encode
from io import BytesIO

from django.core.cache import cache
from PIL import Image, ImageChops, ImageFilter, ImageOps

from sessions.setups.models import Photo

ON_PAGES, ON_PAPER = (480, 480), (400, 400)  # pixels; on paper 40 mm at 254 to the inch
GREY_BYTES = 24_000  # at most, so that a sheet's data stay small
_QUALITIES = (80, 65, 50, 35)


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
    stretched = ImageOps.autocontrast(picture, cutoff=1)
    around = stretched.filter(ImageFilter.GaussianBlur(max(picture.size) / 10))
    beside = ImageChops.subtract(stretched, around, offset=128)
    mixed = Image.blend(stretched, ImageOps.autocontrast(beside, cutoff=1), 0.7)
    return ImageOps.autocontrast(mixed, cutoff=1).filter(ImageFilter.UnsharpMask(2, 120, 2))
