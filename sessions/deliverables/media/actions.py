from datetime import datetime

from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from gear.acting import action
from gear.editing.versions import claim_version
from sessions.clients.models import Project
from sessions.deliverables.media.models import Handover, MediaCopy, Medium
from sessions.letters import outbox
from sessions.letters.text import LetterText
from sessions.rooms.models import Studio

REMOVAL = "removal"  # the kind of letter


@action
def verify_copy(
    copy: MediaCopy, *, how: str, by, version: int, at: datetime | None = None
) -> MediaCopy:
    """Somebody compared the copy with what it is of. Raises EditedMeanwhile, and ValidationError
    where it was removed."""
    claim_version(copy, version)
    if copy.removed_at:
        raise ValidationError("This copy was removed.")
    copy.verified_at, copy.verified_how, copy.verified_by = at or timezone.now(), how, by
    copy.save()
    return copy


def removal_letter(copy: MediaCopy) -> str:
    """What the client is told at first."""
    until = f" after {date_format(copy.kept_until)}" if copy.kept_until else ""
    return (
        f"We keep a copy of “{copy.project}” ({copy.what}) on {copy.medium}, and will remove it{until}.\n\n"
        "If you want it kept for longer, or on a drive of your own, please tell us before that.\n"
    )


@action
def tell_client(copy: MediaCopy, *, text: str, otherwise: str, by, version: int) -> MediaCopy:
    """Tell the client that the copy will be removed, by letter unless they were told `otherwise`.
    Raises EditedMeanwhile, and ValidationError where there is no address."""
    claim_version(copy, version)
    client = copy.project.client
    if not otherwise:
        if not client.email:
            raise ValidationError(
                f"{client} has no e-mail address: enter it on the client’s page, or say how else "
                "they were told."
            )
        letter = outbox.Draft(
            to=client.email,
            client=client,
            subject=f"{copy.project}: a copy will be removed",
            text=LetterText.of_plain(text),
        )
        sender = Studio.current().writes_as
        outbox.post(copy, kind=REMOVAL, drafts=[letter], sender=sender, by=by)
    copy.told_at, copy.told_by = timezone.now(), by
    copy.told_how = otherwise or f"letter to {client.email}"[:120]
    copy.save()
    return copy


@action
def remove_copy(copy: MediaCopy, *, by, version: int) -> MediaCopy:
    """Write down that the copy was removed, and by whom. Raises EditedMeanwhile, and ValidationError
    where it may not go yet."""
    claim_version(copy, version)
    if why_not := copy.why_not_removed():
        raise ValidationError(why_not)
    copy.removed_at, copy.removed_by = timezone.now(), by
    copy.save()
    return copy


@action
def hand_over(
    project: Project, *, what: str, signed_by: str, by, medium: Medium | None = None, **facts
) -> Handover:
    return Handover.objects.create(
        project=project, what=what, signed_by=signed_by, medium=medium, handed_by=by, **facts
    )
