"""Smaller pictures of photographs of ours: in colour for pages, in grey for paper."""

from base64 import b64encode
from io import BytesIO

from PIL import Image

from sessions.setups.models import Photo

ON_PAGES, ON_PAPER = (480, 480), (400, 400)  # pixels; on paper 40 mm at 254 to the inch


def reduced(photo: Photo, size: tuple[int, int] = ON_PAGES, *, grey: bool = False) -> bytes:
    """As JPEG. Raises FileNotFoundError."""
    written = BytesIO()
    with photo.file.open("rb") as file, Image.open(file, formats=("JPEG",)) as image:
        image.thumbnail(size)
        (image.convert("L") if grey else image).save(written, "JPEG", quality=80)
    return written.getvalue()


def for_paper(photo: Photo) -> str:
    """As an address that holds the picture itself; empty where its file is missing."""
    try:
        picture = reduced(photo, ON_PAPER, grey=True)
    except FileNotFoundError:
        return ""
    return f"data:image/jpeg;base64,{b64encode(picture).decode()}"
