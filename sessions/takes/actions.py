from datetime import datetime

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from gear.editing.versions import claim_version
from sessions.bookings.models import RecordingSession, Status
from sessions.setups.chains.actions import fix_revision
from sessions.setups.headphones.actions import snapshot_mixes
from sessions.setups.models import Setup
from sessions.songs.models import Part
from sessions.takes.in_force import revisions_in_force
from sessions.takes.models import FALSE_STARTS, Mark, Take, TakeKind, TakeRevision

NOT_RECORDING = {Status.INQUIRY, Status.CANCELLED}


class TakeRefused(Exception):
    """The take can't be logged or marked like that; the message says why and what to do."""


@transaction.atomic
def log_take(
    part: Part,
    *,
    session: RecordingSession,
    setup: Setup | None,
    mark: str = "",
    rolling: bool = False,
    kind: str = TakeKind.WHOLE,
    punch_in: str = "",
    punch_out: str = "",
    pre_roll_bars: int | None = None,
    note: str = "",
    at: datetime | None = None,
) -> Take:
    """Log the next take of the part, and fix the revisions that it is recorded through.

    `rolling` logs the start of a take; without it the take is over already. `at` is when that was,
    for a take that is logged later than it happened. Numbers run on over all sessions of the part.
    Raises TakeRefused for a session at which nothing can be recorded, or a part or setup that is not the session's.
    """
    if session.status in NOT_RECORDING:
        raise TakeRefused(
            f"This session is {session.get_status_display().lower()}: "
            "confirm it before takes are logged."
        )
    if part.song.project_id != session.project_id:
        raise TakeRefused(f"{part.song} belongs to another project than this session.")
    if setup is not None and setup.session_id != session.pk:
        raise TakeRefused(f"The setup {setup} stands in another session.")
    Part.objects.select_for_update().get(pk=part.pk)  # one number at a time
    highest = part.takes.aggregate(highest=Max("number"))["highest"] or 0
    now = at or timezone.now()
    take = Take.objects.create(
        song=part.song,
        part=part,
        session=session,
        number=highest + 1,
        logged_at=now,
        started_at=now if rolling else None,
        ended_at=None if rolling else now,
        kind=kind,
        punch_in=punch_in,
        punch_out=punch_out,
        pre_roll_bars=pre_roll_bars,
        note=note,
    )
    in_force = revisions_in_force(setup, part)
    heard = snapshot_mixes(setup) if in_force else None
    for revision in in_force:
        fix_revision(revision, at=now)
        TakeRevision.objects.create(take=take, revision=revision, heard=heard)
    if mark:
        _mark(take, mark)
    return take


@transaction.atomic
def mark_take(take: Take, *, version: int, mark: str) -> Take | None:
    """Write the mark of the tape-box legend; a take that was rolling is over with it.

    A part has one master at a time: the earlier one becomes a hold, and is returned so that the
    page can say so. Raises EditedMeanwhile when somebody saved the take after `version`, and
    TakeRefused for a chosen take marked as a false start.
    """
    _claim(take, version)
    return _mark(take, mark)


@transaction.atomic
def circle_take(take: Take, *, version: int, circled: bool) -> None:
    """Choose the take for the recording, or take the circle off. Raises EditedMeanwhile, and
    TakeRefused for a false start."""
    _claim(take, version)
    if circled and take.mark in FALSE_STARTS:
        raise TakeRefused(f"Take {take.number} is a false start: it can’t be chosen.")
    take.circled = circled
    take.save(update_fields=["circled"])


@transaction.atomic
def correct_take(take: Take, *, version: int, mark: str, circled: bool, **facts) -> Take | None:
    """Put a take right afterwards; returns the earlier master, and raises, as `mark_take` does."""
    _claim(take, version)
    for name, value in facts.items():
        setattr(take, name, value)
    take.circled = circled
    take.save()
    return _mark(take, mark)


def _claim(take: Take, version: int) -> None:
    """Count the edit. Edits of a part's takes queue, since one may end another's being master."""
    Part.objects.select_for_update().get(pk=take.part_id)
    claim_version(take, version)


def _mark(take: Take, mark: str) -> Take | None:
    if mark in FALSE_STARTS and take.circled:
        raise TakeRefused(
            f"Take {take.number} is circled, and a false start can’t be chosen: "
            "take the circle off first."
        )
    earlier = None
    if mark == Mark.MASTER:
        earlier = take.part.takes.filter(mark=Mark.MASTER).exclude(pk=take.pk).first()
        if earlier:
            claim_version(earlier, earlier.version)
            earlier.mark = Mark.HOLD
            earlier.save(update_fields=["mark"])
    take.mark = mark
    if take.is_rolling:
        take.ended_at = timezone.now()
    take.save(update_fields=["mark", "ended_at"])
    return earlier
