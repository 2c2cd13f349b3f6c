"""Photographs as data."""

from pathlib import PurePath

from sessions.recall.sheet.plain_data import moment
from sessions.setups.photos.changes import ShownPhoto


def photo_data(shown: ShownPhoto) -> dict:
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
    }
