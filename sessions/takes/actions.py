from collections.abc import Collection, Mapping, Sequence
from datetime import datetime

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from gear.editing.versions import claim_version
from sessions.bookings.models import RecordingSession, Status
from sessions.setups.chains.actions import fix_revision
from sessions.setups.headphones.actions import snapshot_mixes
from sessions.setups.models import Setup
from sessions.songs.models import Part, Song
from sessions.takes.in_force import revisions_in_force
from sessions.takes.models import FALSE_STARTS, Mark, Take, TakeKind, TakePart, TakeRevision

NOT_RECORDING = {Status.ENQUIRY, Status.CANCELLED}


class TakeRefused(Exception):
    """The take can't be logged or marked like that; the message says why and what to do."""


@transaction.atomic
def log_take(
    *parts: Part,
    session: RecordingSession,
    setup: Setup | None,
    mark: str = "",
    rolling: bool = False,
    kind: str = TakeKind.WHOLE,
    into: Take | None = None,
    punch_in: str = "",
    punch_out: str = "",
    pre_roll_bars: int | None = None,
    pre_roll_seconds: int | None = None,
    note: str = "",
    at: datetime | None = None,
) -> Take:
    """Log the next take of the parts' song, and fix the revisions that it is recorded through.

    `rolling` logs the start of a take; without it the take is over already. `at` is when that was,
    for a take that is logged later than it happened. `mark` is that of every part. Numbers run on
    over all sessions of the song. Raises TakeRefused for a session at which nothing can be
    recorded, parts or a setup that are not the session's, and a punch-in into a take that does not
    hold them.
    """
    _refuse(parts, session=session, setup=setup, into=into)
    song = Song.objects.select_for_update().get(pk=parts[0].song_id)  # one number at a time
    highest = song.takes.aggregate(highest=Max("number"))["highest"] or 0
    now = at or timezone.now()
    take = Take.objects.create(
        song=song,
        session=session,
        number=highest + 1,
        logged_at=now,
        started_at=now if rolling else None,
        ended_at=None if rolling else now,
        kind=kind,
        into=into,
        punch_in=punch_in,
        punch_out=punch_out,
        pre_roll_bars=pre_roll_bars,
        pre_roll_seconds=pre_roll_seconds,
        note=note,
    )
    in_force = revisions_in_force(setup, parts)
    heard = snapshot_mixes(setup) if in_force else None
    for revision in in_force:
        fix_revision(revision, at=now)
        TakeRevision.objects.create(take=take, revision=revision, heard=heard)
    made = [TakePart.objects.create(take=take, part=part) for part in parts]
    if mark:
        _queue(made)
        _mark(made, mark)
    return take


def _refuse(
    parts: Sequence[Part], *, session: RecordingSession, setup: Setup | None, into: Take | None
) -> None:
    if session.status in NOT_RECORDING:
        raise TakeRefused(
            f"This session is {session.get_status_display().lower()}: "
            "confirm it before takes are logged."
        )
    song = parts[0].song
    if any(part.song_id != song.pk for part in parts):
        raise TakeRefused("A take is of one song: choose parts of one song only.")
    if song.project_id != session.project_id:
        raise TakeRefused(f"{song} belongs to another project than this session.")
    if setup is not None and setup.session_id != session.pk:
        raise TakeRefused(f"The setup {setup} belongs to another session.")
    if into and into not in Take.objects.to_punch_into(parts):
        raise TakeRefused(f"{into} is not a whole take of these parts: punch into one that is.")


@transaction.atomic
def mark_take(take: Take, *, seen: Mapping[int, int], mark: str) -> list[TakePart]:
    """Write a mark of the tape-box legend on parts of a take; if it was rolling, it is over.

    `seen`: those parts' versions that their editor saw, by the key of the TakePart. A part has one
    master at a time: earlier ones become holds, and are returned so that the page can say so.
    Raises EditedMeanwhile when somebody saved one of them after that version, and TakeRefused for
    a circled part marked as a false start; then none is marked.
    """
    parts = _claim(take, seen)
    take.refresh_from_db(fields=["ended_at"], from_queryset=Take.objects.select_for_update())
    if take.is_rolling:
        take.ended_at = timezone.now()
        take.save(update_fields=["ended_at"])
    return _mark(parts, mark)


@transaction.atomic
def circle_parts(take: Take, *, seen: Mapping[int, int], circled: bool) -> None:
    """Choose parts of a take for the recording, or take the circle off. Raises as `mark_take`."""
    for each in _claim(take, seen):
        if circled and each.mark in FALSE_STARTS:
            raise TakeRefused(f"{each} is a false start: it can’t be chosen.")
        each.circled = circled
        each.save(update_fields=["circled"])


@transaction.atomic
def correct_part(part: TakePart, *, version: int, mark: str, **facts) -> list[TakePart]:
    """Put one part of a take right afterwards; returns and raises as `mark_take`."""
    (current,) = _claim(part.take, {part.pk: version})
    for name, value in facts.items():
        setattr(current, name, value)
    current.save()
    return _mark([current], mark)


def _claim(take: Take, seen: Mapping[int, int]) -> list[TakePart]:
    """Count the edit of each part."""
    parts = list(take.take_parts.filter(pk__in=seen).in_order().select_related("take"))
    _queue(parts)
    for each in parts:
        claim_version(each, seen[each.pk])
    return parts


def _queue(parts: Collection[TakePart]) -> None:
    """Let edits of the parts' takes queue, since one may end another's being master."""
    keys = [each.part_id for each in parts]
    list(Part.objects.filter(pk__in=keys).order_by("pk").select_for_update())


def _mark(parts: Collection[TakePart], mark: str) -> list[TakePart]:
    earlier = []
    for each in parts:
        if mark in FALSE_STARTS and each.circled:
            raise TakeRefused(
                f"{each} is circled, and a false start can’t be chosen: remove the circle first."
            )
        if mark == Mark.MASTER:
            masters = each.part.take_parts.filter(mark=Mark.MASTER).exclude(pk=each.pk)
            for master in masters.select_related("part", "take"):
                claim_version(master, master.version)
                master.mark = Mark.HOLD
                master.save(update_fields=["mark"])
                earlier.append(master)
        each.mark = mark
        each.save(update_fields=["mark"])
    return earlier
