from collections.abc import Callable

from django.core.files.base import ContentFile, File
from django.db import transaction

from gear.acting import action
from sessions.pictures.child import Picture, picture_in_child
from sessions.setups.chains.actions import lock_newest, lock_with_partners
from sessions.setups.models import Photo, Revision
from sessions.setups.photos.changes import facts_shown
from sessions.storing import stored


class PhotoKept(Exception):
    """Takes were recorded through what it shows."""

    def __init__(self, photo: Photo):
        super().__init__(f"“{photo}” stays: takes were recorded through what it shows.")


def take_photo(
    photo: Photo,
    *,
    upload: File,
    by,
    caption: str = "",
    then: Callable[[Photo], None] = lambda _: None,
) -> Photo:
    """Keep a picture of one of the `subjects_of` a setup: of a chain as it stands now.

    It is decoded and stored before the transaction, which holds nothing slow and ends with `then`;
    whatever fails, no row is left. Raises NotAPicture, whose text is a sentence for the user.
    """
    picture = picture_in_child(upload, taken_as="photo")
    with stored(photo.file, ContentFile(picture.content), ending=".jpg"), transaction.atomic():
        photo.caption = caption
        _save(photo, picture, by=by)
        then(photo)
    return photo


@action
def _save(photo: Photo, picture: Picture, *, by) -> None:
    if photo.revision:
        photo.revision = lock_newest(photo.revision.chain)
        revisions = Revision.objects.filter(pk=photo.revision_id)
    else:
        revisions = Revision.objects.newest().filter(chain__setup=photo.setup)
    photo.shown = facts_shown(photo, revisions.with_stages())
    photo.sha256, photo.width, photo.height = picture.sha256, picture.width, picture.height
    photo.taken_by = by
    photo.save()


@action
def remove_photo(photo: Photo, *, by) -> None:
    """Its file goes within some hours (`remove_without_row`). Raises PhotoKept."""
    lock_with_partners(*([photo.revision.chain] if photo.revision else photo.setup.chains.all()))
    if photo.revision:
        photo.revision.refresh_from_db(fields=["fixed_at"])
    if photo.is_kept:
        raise PhotoKept(photo)
    photo.delete()
