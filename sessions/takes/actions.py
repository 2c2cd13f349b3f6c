from collections.abc import Collection, Mapping, Sequence
from datetime import datetime

from django.db import transaction
from django.db.models import F, Max
from django.utils import timezone
from django.utils.formats import date_format
from simple_history.utils import bulk_create_with_history

from gear.editing.versions import claim_version
from sessions.bookings.models import RecordingSession, Status
from sessions.setups.chains.actions import fix_revisions, lock_setup
from sessions.setups.headphones.actions import snapshot_mixes
from sessions.setups.models import Revision, Setup
from sessions.songs.models import Part, Song
from sessions.takes.in_force import changed_in_place, revisions_in_force
from sessions.takes.models import (
    FALSE_STARTS,
    Mark,
    RevisionInDoubt,
    Take,
    TakeKind,
    TakePart,
    TakeRevision,
)

NOT_RECORDING = {Status.ENQUIRY, Status.CANCELLED}


class TakeRefused(Exception):
    """The take can't be logged or marked like that; the message says why and what to do."""


@transaction.atomic
def log_take(
    *parts: Part,
    session: RecordingSession,
    setup: Setup | None,
    started_by=None,
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
    came_late: bool = False,
) -> Take:
    """Log the next take of the parts' song, and fix the revisions that it is recorded through.

    `rolling` logs the start of a take; without it the take is over already. `at` is when that was,
    for a take that is logged later than it happened. One that `came_late` was pressed then and kept
    on the device until now: it points to the revisions that were in force at that moment, and is
    not refused where another take of its parts rolls. `mark` is that of every part. Numbers run on
    over all sessions of the song. Raises TakeRefused for a session at which nothing can be
    recorded, parts or a setup that are not the session's, a punch-in into a take that does not hold
    them, and parts of which a take is rolling already.
    """
    now = at or timezone.now()
    _refuse(parts, session=session, setup=setup, into=into, at=now if came_late else None)
    song = Song.objects.select_for_update().get(pk=parts[0].song_id)  # one number at a time
    if rolling and not came_late:
        refuse_second(song, parts)
    highest = song.takes.aggregate(highest=Max("number"))["highest"] or 0
    take = Take.objects.create(
        song=song,
        session=session,
        number=highest + 1,
        logged_at=now,
        started_at=now if rolling else None,
        ended_at=None if rolling else now,
        started_by=started_by,
        kind=kind,
        into=into,
        punch_in=punch_in,
        punch_out=punch_out,
        pre_roll_bars=pre_roll_bars,
        pre_roll_seconds=pre_roll_seconds,
        note=note,
    )
    if setup:
        _record_through(take, setup, parts, since=now if came_late else None)
    made = [TakePart(take=take, part=part) for part in parts]
    bulk_create_with_history(made, TakePart)
    if mark:
        _queue(made)
        _mark(made, mark)
    return take


def _record_through(take: Take, setup: Setup, parts: Sequence[Part], *, since) -> None:
    """Let the take point to what is in force; `since` a moment in the past to what was in force then, as
    far as that is still known."""
    lock_setup(setup)
    in_force = revisions_in_force(setup, parts, at=since)
    if not in_force:
        return
    unknown = changed_in_place(in_force, after=since) if since else ()
    fix_revisions(in_force, at=take.logged_at)
    heard = snapshot_mixes(setup)
    TakeRevision.objects.bulk_create(
        TakeRevision(take=take, revision=each, heard=heard)
        for each in in_force
        if each.pk not in unknown
    )
    if unknown:
        RevisionInDoubt.objects.bulk_create(
            RevisionInDoubt(take=take, revision=each, heard=heard)
            for each in in_force
            if each.pk in unknown
        )


def _refuse(parts, *, session, setup, into: Take | None, at: datetime | None) -> None:
    """`at`: when it was pressed, if that was not now."""
    if session.status in NOT_RECORDING:
        raise TakeRefused(
            f"This session is {session.get_status_display().lower()}: "
            "confirm it before takes are logged."
        )
    if session.status == Status.WRAPPED and not (at and _wrapped_after(session, at)):
        raise TakeRefused("This session is wrapped: reopen it before takes are logged.")
    song = parts[0].song
    if any(part.song_id != song.pk for part in parts):
        raise TakeRefused("A take is of one song: choose parts of one song only.")
    if song.project_id != session.project_id:
        raise TakeRefused(f"{song} belongs to another project than this session.")
    if setup is not None and setup.session_id != session.pk:
        raise TakeRefused(f"The setup {setup} belongs to another session.")
    if into and not Take.objects.to_punch_into(parts).filter(pk=into.pk).exists():
        raise TakeRefused(f"{into} is not a whole take of these parts: punch into one that is.")


def _wrapped_after(session: RecordingSession, at: datetime) -> bool:
    wrapped = session.status_steps.filter(status=Status.WRAPPED).last()
    return wrapped is not None and wrapped.at > at


def refuse_second(song: Song, parts: Sequence[Part]) -> None:
    """Raises TakeRefused, with who started it and when, where a take of one of the parts rolls."""
    rolling = song.takes.rolling().filter(parts__in=parts).select_related("started_by").first()
    if rolling:
        by = f" by {rolling.started_by}" if rolling.started_by else ""
        since = date_format(timezone.localtime(rolling.taken_at), "H:i:s")
        raise TakeRefused(
            f"{rolling} of these parts is rolling already: started{by} at {since}. "
            "End or mark it before the next one."
        )


@transaction.atomic
def end_take(take: Take, *, at: datetime | None = None) -> None:
    """The take stopped rolling, `at` a moment or now; it is not marked. Nothing where it is over."""
    take.refresh_from_db(fields=["ended_at"], from_queryset=Take.objects.select_for_update())
    if not take.is_rolling:
        return
    take.ended_at = max(filter(None, (at or timezone.now(), take.started_at)))
    take.save(update_fields=["ended_at"])
    _go_on_through(take)


def _go_on_through(take: Take) -> None:
    """Revisions that came into force while it rolled and were not noticed, since its start came late."""
    if not take.started_at:
        return
    between = (take.started_at, take.ended_at)
    # Newer ones alone: where the clock was put right meanwhile, a day of them lies between.
    missed = Revision.objects.filter(
        chain__revisions__takes=take,
        number__gt=F("chain__revisions__number"),
        created_at__range=between,
    )
    for revision in missed.exclude(takes=take).distinct().order_by("created_at", "pk"):
        fix_revisions([revision], at=take.ended_at)
        heard = take.through.first().heard
        take.through.create(revision=revision, heard=heard, since=revision.created_at)


@transaction.atomic
def withdraw_take(take: Take) -> None:
    """A take that was logged by mistake: it stays, its number is used up, and it counts for nothing.

    Raises TakeRefused where something rests on it.
    """
    Song.objects.select_for_update().get(pk=take.song_id)
    if rests := rests_on(take):
        raise TakeRefused(f"{take} stays: {rests}.")
    end_take(take)
    take.withdrawn = True
    take.save(update_fields=["withdrawn"])


@transaction.atomic
def restore_take(take: Take) -> None:
    """A take that was withdrawn counts again."""
    take.withdrawn = False
    take.save(update_fields=["withdrawn"])


@transaction.atomic
def settle_doubt(doubt: RevisionInDoubt, *, stood: bool) -> None:
    """The chain stood as the revision says when the take was recorded, or it did not."""
    take = Take.objects.select_for_update(no_key=True).get(pk=doubt.take_id)  # saved whole
    through = f"through {doubt.revision}"
    take._change_reason = f"Said to have been recorded {through}"
    if stood:
        TakeRevision.objects.create(take=take, revision=doubt.revision, heard=doubt.heard)
    else:
        take._change_reason = f"Said not to have been recorded {through}"
    take.save()
    doubt.delete()


def rests_on(take: Take) -> str:
    """What would lose its ground without the take, in words; empty where nothing would."""
    if punched := take.punched.counting().first():
        return f"{str(punched).lower()} was punched into it"
    if choice := take.comp_choices.select_related("part").first():
        return f"the comp of {choice.part} takes a line from it"
    return ""


@transaction.atomic
def note_take(take: Take, *, version: int, note: str) -> None:
    """Raises EditedMeanwhile when somebody saved the take after `version`."""
    claim_version(take, version)
    take.note = note
    take.save(update_fields=["note"])


@transaction.atomic
def mark_take(
    take: Take, *, seen: Mapping[int, int], mark: str, at: datetime | None = None
) -> list[TakePart]:
    """Write a mark of the tape-box legend on parts of a take; if it was rolling, it is over.

    `seen`: those parts' versions that their editor saw, by the key of the TakePart. A part has one
    master at a time: earlier ones become holds, and are returned so that the page can say so.
    Raises EditedMeanwhile when somebody saved one of them after that version, and TakeRefused for
    a circled part marked as a false start; then none is marked.
    """
    parts = _claim(take, seen)
    end_take(take, at=at)
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
