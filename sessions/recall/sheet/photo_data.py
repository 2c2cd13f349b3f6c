"""Photographs as data, with the small grey pictures that paper prints."""

from base64 import b64encode
from collections.abc import Iterable
from hashlib import sha256
from pathlib import PurePath

from sessions.recall.sheet.contents import RecallSheet
from sessions.recall.sheet.plain_data import moment
from sessions.setups.models import Subject
from sessions.setups.photos.changes import ShownPhoto

MOST_BYTES = 1_000_000  # of all pictures: what a sheet's data may hold has a limit
#: Whose pictures come first where there is not room for all.
_FIRST = (Subject.PLACEMENT, Subject.FLOOR, Subject.SOURCE)

Pictures = dict[int, bytes]  # by the photograph's key


def pictures_of(sheet: RecallSheet) -> Pictures:
    """Those that there is room for."""
    shown = [*sheet.photos, *(photo for chain in sheet.chains for photo in chain.photos)]
    found, room = {}, MOST_BYTES
    for each in _in_order(shown):
        picture = each.picture
        if picture and each.photo.pk not in found and len(picture) <= room:
            found[each.photo.pk] = picture
            room -= len(picture)
    return found


def photo_data(shown: ShownPhoto, pictures: Pictures) -> dict:
    photo = shown.photo
    return {
        "file": PurePath(photo.file.name).name,
        "sha256": photo.sha256,
        "subject": photo.subject,
        "about": photo.about,
        "unit": photo.unit.asset_tag if photo.unit else None,
        "channel": photo.channel,
        "setup": photo.setup.name,
        "caption": photo.caption,
        "taken_at": moment(photo.taken_at),
        "earlier_revision": shown.earlier,
        "changed_since": list(shown.changed),
        "picture": _picture(pictures.get(photo.pk)),
    }


def _in_order(shown: Iterable[ShownPhoto]) -> list[ShownPhoto]:
    return sorted(
        shown,
        key=lambda each: (
            _FIRST.index(each.photo.subject) if each.photo.subject in _FIRST else len(_FIRST)
        ),
    )


def _picture(content: bytes | None) -> dict | None:
    if content is None:
        return None
    return {
        "media_type": "image/jpeg",
        "sha256": sha256(content).hexdigest(),
        "base64": b64encode(content).decode(),
    }
