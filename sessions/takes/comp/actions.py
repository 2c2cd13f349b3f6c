from django.db import transaction
from django.db.models import F

from gear.acting import set_facts
from gear.editing.history import update_with_history
from gear.editing.versions import claim_version
from sessions.songs.models import LyricLine, Part
from sessions.takes.actions import TakeRefused
from sessions.takes.comp.sheet import Cell, CompSheet, Row
from sessions.takes.models import CompChoice, CompGrade, Take


@transaction.atomic
def choose(part: Part, row: Row, *, take: Take | None, saw: int | None) -> None:
    """Take a line of the part's comp from a take; None: from none any more.

    `saw` is the key of the take that the person saw chosen. Raises TakeRefused where it is another
    by now.
    """
    _queue(part)
    now = CompChoice.objects.filter(part=part, **row.what).select_related("take").first()
    if (now.take_id if now else None) != saw:
        state = f"it is taken from take {now.take.number} now" if now else "no take is chosen now"
        raise TakeRefused(
            f"“{row}” was changed by somebody else meanwhile: {state}. Press again to change it."
        )
    if now and take:
        now.take = take
        now.save()
    elif now:
        now.delete()
    elif take:
        CompChoice.objects.create(part=part, take=take, **row.what)


@transaction.atomic
def grade(cell: Cell, *, grade: int | None, saw: int | None) -> None:
    """Say how a line came out in a take, 1 to 5 or not graded.

    Raises TakeRefused where the grade is no longer the one that the person `saw`.
    """
    now = _grade_of(cell)
    if now.grade != saw:
        raise TakeRefused(
            f"“{cell.row}” in take {cell.part.take.number} was graded "
            f"{now.grade or 'not at all'} by somebody else meanwhile. Press again to change it."
        )
    claim_version(now, now.version)
    _keep(now, grade=grade)


@transaction.atomic
def grade_with_note(cell: Cell, *, version: int, **facts) -> CompGrade:
    """Raises EditedMeanwhile where somebody else saved the grade after `version`."""
    now = _grade_of(cell)
    claim_version(now, version)
    _keep(now, **facts)
    return now


def _keep(now: CompGrade, **facts) -> None:
    """One that says nothing goes, so that its line is free to be rewritten."""
    set_facts(now, **facts)
    if now.grade or now.note:
        now.save()
    else:
        now.delete()


def _grade_of(cell: Cell) -> CompGrade:
    _queue(cell.part.part)
    return CompGrade.objects.get_or_create(take_part=cell.part, **cell.row.what)[0]


@transaction.atomic
def choose_open(part: Part, *, way: str, before: int | None = None) -> int:
    """Take the lines that no take is chosen for from those that are suggested on that page of the
    sheet; how many those are."""
    _queue(part)
    sheet = CompSheet(part, in_pages=True, before=before)
    suggested = zip(sheet.rows, sheet.chosen, sheet.suggestion(way), strict=True)
    made = [
        CompChoice.objects.create(part=part, take_id=take, **row.what)
        for row, chosen, take in suggested
        if chosen is None and take is not None
    ]
    return len(made)


@transaction.atomic
def split_line(line: LyricLine, *, after: int, version: int) -> LyricLine:
    """Part a lyric line behind its `after`th word; the second half is chosen and graded as the first.

    Raises EditedMeanwhile where the song was saved after `version`.
    """
    words = line.text.split()
    claim_version(line.section.song, version)
    behind = line.section.lines.filter(position__gt=line.position)
    update_with_history(behind, position=F("position") + 1)
    rest = LyricLine.objects.create(
        section=line.section, position=line.position + 1, text=" ".join(words[after:])
    )
    line.text = " ".join(words[:after])
    line.save(update_fields=["text"])
    for each in line.comp_choices.all():
        CompChoice.objects.create(part_id=each.part_id, take_id=each.take_id, line=rest)
    for each in line.comp_grades.all():
        CompGrade.objects.create(
            take_part_id=each.take_part_id, line=rest, grade=each.grade, note=each.note
        )
    return rest


def _queue(part: Part) -> None:
    """Let edits of a part's comp queue."""
    Part.objects.select_for_update().get(pk=part.pk)
