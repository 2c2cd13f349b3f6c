"""The small pictures that may come with a recall: each is looked into before anybody is shown it.

A file can call anything a picture. What is shown was unpacked here first, as JPEG and as nothing else,
and is small; pages send it as that. No Django here: it is read in a process of its own.
"""

import base64
import binascii
import io
from collections.abc import Iterator
from hashlib import sha256

from sessions.recall.imported.sense import NotARecall

LARGEST_SIDE = 1_000  # pixels


def check_pictures(data: dict) -> None:
    """Raises NotARecall."""
    for photo in photos_of(data):
        if (picture := photo.get("picture")) and not _is_a_picture(picture):
            raise NotARecall(
                f"The picture of “{photo['about'][:60]}” is damaged, or is no small JPEG picture: ask "
                "for the sheet again."
            )


def photos_of(data: dict) -> Iterator[dict]:
    for holder in (data, *data["chains"]):
        yield from holder.get("photos", ())


def _is_a_picture(picture: dict) -> bool:
    from PIL import Image  # costs 0.1 s, and most files have no pictures

    try:
        content = base64.b64decode(picture["base64"], validate=True)
    except (binascii.Error, ValueError):
        return False
    if sha256(content).hexdigest() != picture["sha256"]:
        return False
    try:
        with Image.open(io.BytesIO(content), formats=("JPEG",)) as image:
            if max(image.size) > LARGEST_SIDE:
                return False
            image.load()
    except MemoryError:
        raise
    except Exception:  # whatever a damaged picture makes the decoder raise
        return False
    return True
