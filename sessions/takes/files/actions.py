from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from django.db import transaction
from simple_history.utils import bulk_create_with_history

from gear.acting import action, set_facts
from sessions.bookings.models import RecordingSession
from sessions.songs.models import Part
from sessions.takes.files.child import FoundFile, facts_of_each
from sessions.takes.files.facts import Facts
from sessions.takes.models import Take, TakeFile


@dataclass
class Added:
    """What came of some files: rows that wait for confirmation, rows that were there before, names
    of what is no WAV file."""

    new: list[TakeFile] = field(default_factory=list)
    known: list[TakeFile] = field(default_factory=list)
    not_wave: list[str] = field(default_factory=list)


def add_files(
    session: RecordingSession,
    files: Sequence[FoundFile],
    *,
    folder: str = "",
    by,
    then: Callable[[Added], None] = lambda added: None,
) -> Added:
    """Put the files on the session's page, where they wait until somebody says of which take they are.

    Their headers are read before the transaction, which holds nothing slow and ends with `then`.
    A file that the project has already, by its content or by name, size and time reference, is not
    added again.
    """
    facts = facts_of_each(files)
    with transaction.atomic():
        added = _add(session, list(zip(files, facts, strict=True)), folder=folder, by=by)
        then(added)
    return added


@action
def _add(session, read: list[tuple[FoundFile, Facts]], *, folder: str, by) -> Added:
    RecordingSession.objects.select_for_update(no_key=True).get(pk=session.pk)  # one at a time
    before = TakeFile.objects.filter(
        session__project=session.project_id, size_bytes__in=[file.size for file, _ in read]
    ).select_related("take__song")
    known = {key: row for row in before for key in _keys(row)}
    added = Added()
    for file, facts in read:
        row = _row(session, file, facts, folder=folder, by=by)
        there = next((known[key] for key in _keys(row) if key in known), None)
        if not facts.kind:
            added.not_wave.append(row.name)
        elif there:
            added.known.append(there)
        else:
            added.new.append(row)
            known |= dict.fromkeys(_keys(row), row)
    bulk_create_with_history(added.new, TakeFile, default_user=by)
    return added


def _keys(row: TakeFile) -> list[tuple]:
    """By each of which it is the same file."""
    named = (row.name, row.size_bytes, row.time_reference)
    return [named, (row.sha256,)] if row.sha256 else [named]


def _row(session, file: FoundFile, facts: Facts, *, folder: str, by) -> TakeFile:
    stamps = [(notes or {}).get("time_reference") for notes in (facts.bext, facts.ixml)]
    return TakeFile(
        session=session,
        path=file.path,
        folder=folder,
        size_bytes=file.size,
        sha256=file.sha256,
        container=facts.kind,
        sample_rate=facts.sample_rate,
        bit_depth=facts.bit_depth,
        channels=facts.channels,
        frames=facts.frames,
        time_reference=next(filter(None, stamps), None),
        bext=facts.bext,
        ixml=facts.ixml,
        problems=list(facts.problems),
        added_by=by,
    )


@dataclass(frozen=True)
class Choice:
    """That somebody takes a file for this take, or for one part of it, and why."""

    file: TakeFile
    take: Take
    part: Part | None
    reason: str


@action
def link_files(choices: Iterable[Choice], *, by) -> tuple[list[TakeFile], list[TakeFile]]:
    """Link each file to its take. Gives those that are linked now, and those that somebody else has
    linked meanwhile, which stay so."""
    chosen = {choice.file.pk: choice for choice in choices}
    rows = TakeFile.objects.select_for_update(of=("self",), no_key=True)
    linked, meanwhile = [], []
    for row in rows.filter(pk__in=chosen).for_list().order_by("pk"):
        if row.take:
            meanwhile.append(row)
            continue
        choice = chosen[row.pk]
        set_facts(row, take=choice.take, part=choice.part, reason=choice.reason, linked_by=by)
        row.save()
        linked.append(row)
    return linked, meanwhile


@action
def unlink_file(file: TakeFile, *, by) -> None:
    """It waits again, as before it was linked."""
    row = TakeFile.objects.select_for_update(no_key=True).get(pk=file.pk)
    set_facts(row, take=None, part=None, reason="", linked_by=None)
    row.save()


@action
def discard_files(files: Iterable[TakeFile], *, by) -> int:
    """Forget files that wait; the files themselves stay where they are. How many."""
    rows = TakeFile.objects.select_for_update(no_key=True).waiting()
    waiting = rows.filter(pk__in=[file.pk for file in files])
    for row in waiting:
        row.delete()
    return len(waiting)
