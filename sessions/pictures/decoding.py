"""Makes a picture from outside one of ours: upright, scaled, and with nothing in it but the picture.

Run in a process of its own (`child.py`), so no Django here: reads the file from standard input,
answers with a line of JSON, and after it the picture.
"""

import io
import json
import sys
import warnings

from PIL import Image, ImageOps

from sessions.limited import limit_this_process

KINDS = ("JPEG", "PNG", "WEBP")
LONG_SIDE = 2048  # pixels of a photograph
LOGO = (1000, 400)  # pixels at most; 300 to the inch at 85 by 34 mm
MOST_PIXELS = 80_000_000
QUALITY = 85
HEIF_BRANDS = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif")


class NotAPicture(ValueError):
    """The file can't be taken in; the message says what is wrong and what to do."""


def photo_of(content: bytes) -> tuple[bytes, int, int]:
    """The picture as JPEG, its width and height. Raises NotAPicture."""
    ours, written = _ours(content, (LONG_SIDE, LONG_SIDE)), io.BytesIO()
    ours.save(written, "JPEG", quality=QUALITY, optimize=True)
    return written.getvalue(), *ours.size


def logo_of(content: bytes) -> tuple[bytes, int, int]:
    """The picture as PNG on white, as it is printed, its width and height. Raises NotAPicture."""
    ours, written = _ours(content, LOGO), io.BytesIO()
    ours.save(written, "PNG", optimize=True)
    return written.getvalue(), *ours.size


def _ours(content: bytes, size: tuple[int, int]) -> Image.Image:
    """Upright, no larger than the size, on white. Raises NotAPicture."""
    if content[4:8] == b"ftyp" and content[8:12] in HEIF_BRANDS:
        raise NotAPicture(
            "This picture is stored as HEIC or AVIF, which can’t be read here: have the camera "
            "store JPEG, or choose a JPEG, PNG or WebP picture."
        )
    try:
        return _made_ours(content, size)
    except (MemoryError, NotAPicture):
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as problem:
        raise NotAPicture(
            f"This picture has more than {MOST_PIXELS // 1_000_000} million pixels: make it smaller."
        ) from problem
    except Exception as problem:  # whatever a damaged file makes the decoder raise
        raise NotAPicture(
            "This is no picture that can be read here, or it is damaged: choose a JPEG, PNG or "
            "WebP picture."
        ) from problem


def _made_ours(content: bytes, size: tuple[int, int]) -> Image.Image:
    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    warnings.simplefilter("error", Image.DecompressionBombWarning)
    with Image.open(io.BytesIO(content), formats=KINDS) as image:
        image.draft("RGB", size)  # a JPEG is unpacked no larger than is wanted
        image.load()
        if image.mode in ("P", "1", "I", "F") or image.mode.startswith("I;"):
            image = image.convert("RGBA" if "transparency" in image.info else "RGB")
        image.thumbnail(size)
        upright = ImageOps.exif_transpose(image).convert("RGBA")
    # What goes on is a new picture: nothing that the file said beside its pixels comes along.
    ours = Image.new("RGB", upright.size, "white")
    ours.paste(upright, mask=upright.getchannel("A"))
    return ours


TAKEN_AS = {"photo": photo_of, "logo": logo_of}


def main(memory_bytes: str, cpu_seconds: str, taken_as: str) -> None:
    limit_this_process(memory_bytes, cpu_seconds)
    picture = b""
    try:
        picture, width, height = TAKEN_AS[taken_as](sys.stdin.buffer.read())
        answer = {"width": width, "height": height}
    except NotAPicture as problem:
        answer = {"refusal": str(problem)}
    sys.stdout.buffer.write(json.dumps(answer).encode() + b"\n" + picture)


if __name__ == "__main__":
    main(*sys.argv[1:])
