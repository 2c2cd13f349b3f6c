"""All checks of a deliverable, in the order in which an engineer would look."""

from collections.abc import Iterable, Iterator

from sessions.deliverables.models import Deliverable, DeliverableFile, FileState

from . import formats, names, sound
from .asked import Asked, records_of
from .checks import Check, Outcome
from .sets import set_checks

BY_NAME = (names.naming, names.name, names.same_content)
BY_MEASUREMENT = (
    formats.container,
    formats.rate_and_depth,
    formats.bits_in_use,
    sound.peaks,
    sound.clipping,
    sound.channels,
    sound.offset,
    sound.silence,
    names.ending,
)


def checks_of(deliverable: Deliverable) -> list[Check]:
    """Load it `for_list`; three queries."""
    return checks_of_each([deliverable])[deliverable.pk]


def checks_of_each(deliverables: Iterable[Deliverable]) -> dict[int, list[Check]]:
    """By the deliverables' keys. Load them `for_list`; three queries for all of them."""
    deliverables = list(deliverables)
    records = records_of(each.song_id for each in deliverables)
    return {each.pk: list(_checks(Asked.of(each, records[each.song_id]))) for each in deliverables}


def _checks(asked: Asked) -> Iterator[Check]:
    files = list(asked.deliverable.files.all())
    if not files:
        yield Check(Outcome.FAIL, "Files", "No file is there.", "the record")
        return
    for file in files:
        yield from _of_file(file, asked)
    accepted = [file for file in files if file.state != FileState.REFUSED]
    if asked.is_set and accepted:
        all_measured = all(file.is_measured for file in accepted)
        yield from set_checks(accepted, asked, all_measured=all_measured)


def _of_file(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    """What isn't measured passes nothing but what its name tells."""
    if file.state == FileState.REFUSED:
        yield Check(Outcome.FAIL, "Measuring", file.refusal, "found while measuring", file)
        return
    rules = BY_NAME
    if file.is_measured:
        rules = BY_MEASUREMENT + BY_NAME
    elif file.state != FileState.AS_IS:
        said = "Not measured yet: its sound and format are checked afterwards."
        yield Check(Outcome.WARNING, "Measuring", said, "the record", file)
    for rule in rules:
        yield from rule(file, asked)
    for note in file.notes:
        yield Check(Outcome.NOTE, "Measuring", note, "found while measuring", file)
