"""The photographs that an imported sheet tells of; pictures only where they came with it."""

from collections.abc import Iterable
from dataclasses import dataclass

from sessions.recall.imported.shown.things import moment
from sessions.setups.models import Photo
from sessions.setups.photos.changes import ShownPhoto


@dataclass(frozen=True)
class PhotoTold(ShownPhoto):
    """`at`: an address that holds its picture, which was looked into as it was imported; empty where
    only its words came."""

    at: str = ""


def photos_told(data: Iterable[dict]) -> tuple[PhotoTold, ...]:
    return tuple(_photo(each) for each in data)


def _photo(data: dict) -> PhotoTold:
    photo = Photo(
        subject=data["subject"],
        about=data["about"],
        channel=data["channel"],
        caption=data["caption"],
        sha256=data["sha256"],
        taken_at=moment(data["taken_at"]),
    )
    picture = data.get("picture")
    at = f"data:image/jpeg;base64,{picture['base64']}" if picture else ""
    return PhotoTold(photo, data["earlier_revision"], tuple(data["changed_since"]), at)
