"""Stems and multitracks as a whole (rules 1, 2, 5, 6, 8, 10 and 11 of delivery, common practice)."""

import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import PurePath
from unicodedata import normalize

from sessions.clients.orders import DeliverableKind
from sessions.deliverables.models import DeliverableFile
from sessions.deliverables.nulling.words import Finding

from .asked import Asked
from .checks import PRACTICE, Check, Outcome, counted

Files = Sequence[DeliverableFile]
WET_OR_DRY = re.compile(r"(.+)[ _-](wet|dry)$", re.IGNORECASE)


def what_must_be_there(files: Files, asked: Asked) -> Iterator[Check]:
    """The stems that were ordered by name; of a multitrack, a file for every recorded part."""
    if asked.deliverable.kind == DeliverableKind.STEMS:
        wanted, is_ordered = list(asked.order.stems), True
    else:
        wanted = [part.name for part in asked.record.parts]
        is_ordered = asked.order.each_part
    if not wanted:
        return
    there = [_plain(PurePath(file.original_name).stem) for file in files]
    found = set()
    for each in sorted(wanted, key=len, reverse=True):  # a bass drum is no bass
        if any(_plain(each) in name for name in there):
            found.add(each)
        there = [name.replace(_plain(each), "/") for name in there]
    missing = [each for each in wanted if each not in found]
    source = asked.source if is_ordered else PRACTICE
    text = "Stems" if asked.deliverable.kind == DeliverableKind.STEMS else "Parts"
    if missing:
        verdict = Outcome.FAIL if is_ordered else Outcome.WARNING
        said = f"No file is named for {', '.join(missing)}."
        yield Check(verdict, text, said, source)
    else:
        yield Check(Outcome.PASS, text, f"There is a file for each of the {len(wanted)}.", source)


def one_format(files: Files, asked: Asked) -> Iterator[Check]:
    formats = {f"{file.rate_in_words}, {file.depth_in_words}".rstrip(", ") for file in files}
    if len(formats) > 1:
        said = f"Not all have one sample rate and depth: {'; '.join(sorted(formats))}."
        yield Check(Outcome.FAIL, "One format", said)
    else:
        yield Check(Outcome.PASS, "One format", "All have one sample rate and depth.")


def common_start(files: Files, asked: Asked) -> Iterator[Check]:
    """Where the files begin, by their time stamps (EBU Tech 3285)."""
    stamped = [file for file in files if file.bext]
    starts = {(file.bext["time_reference"], file.sample_rate) for file in stamped}
    ordered = asked.order.time_stamps
    source = asked.source if ordered else f"bext, EBU Tech 3285; {PRACTICE}"
    if len(stamped) < len(files):
        bare = counted(len(files) - len(stamped), "file")
        said = f"{bare} without a time stamp: nobody can see whether they begin together. Export as BWF."
        yield Check(Outcome.FAIL if ordered else Outcome.WARNING, "Time stamps", said, source)
    elif len(starts) == 1:
        yield Check(Outcome.PASS, "Time stamps", "All begin at the same sample.", source)
    if len(starts) > 1:
        said = f"By their time stamps the files begin at {len(starts)} different moments."
        yield Check(Outcome.FAIL, "Time stamps", said, source)


def one_length(files: Files, asked: Asked) -> Iterator[Check]:
    """Consolidated from the common start to the end; at least the start is common."""
    by_length: dict[float, list[DeliverableFile]] = {}
    for file in files:
        by_length.setdefault(file.frames / file.sample_rate, []).append(file)
    ordered = asked.order.same_length
    source = asked.source if ordered else PRACTICE
    if len(by_length) == 1:
        yield Check(Outcome.PASS, "Length", f"All are {files[0].length} long.", source)
        return
    longest = by_length[max(by_length)][0]
    odd = [file for same in by_length.values() for file in same if file.length != longest.length]
    few = ", ".join(f"{file} is {file.length}" for file in odd[:3]) or "they differ by samples"
    more = f" and {len(odd) - 3} more are shorter" * (len(odd) > 3)
    said = f"The longest is {longest.length} long, but {few}{more}: consolidate from one start to one end."
    yield Check(Outcome.FAIL if ordered else Outcome.WARNING, "Length", said, source)


def more_than_one(files: Files, asked: Asked) -> Iterator[Check]:
    if len(files) == 1:
        said = f"{asked.deliverable.get_kind_display()} of one file: upload all of them together."
        yield Check(Outcome.WARNING, "Files", said)


def wet_and_dry(files: Files, asked: Asked) -> Iterator[Check]:
    """Only multitracks: a stem is printed as it sounds in the mix."""
    if asked.deliverable.kind != DeliverableKind.MULTITRACK:
        return
    found: dict[str, set[str]] = {}
    for file in files:
        if match := WET_OR_DRY.match(PurePath(file.original_name).stem):
            found.setdefault(match[1], set()).add(match[2].lower())
    if alone := [
        f"{name}_{'/'.join(sides).upper()}" for name, sides in found.items() if len(sides) == 1
    ]:
        said = f"Essential effects are printed wet and dry; alone stands {', '.join(alone)}."
        yield Check(Outcome.WARNING, "Wet and dry", said)
    elif found:
        yield Check(Outcome.PASS, "Wet and dry", "Every wet print has its dry one.")
    unseen = (
        "Whether MIDI tracks were printed as sound"
        + ("" if found else ", and essential effects wet and dry (_WET, _DRY),")
        + " can’t be seen from the files."
    )
    yield Check(Outcome.NOTE, "Not seen here", unseen)


def null_test(files: Files, asked: Asked) -> Iterator[Check]:
    """Stems summed at unity give the mix, but for what was done to the sum."""
    if asked.deliverable.kind != DeliverableKind.STEMS:
        return
    test = asked.record.null_tests.get(asked.deliverable.pk)
    if test is None or sorted(test.names) != sorted(file.original_name for file in files):
        said = "Not done with these files yet: nobody knows whether the stems add up to the mix."
        yield Check(Outcome.WARNING, "Null test", said)
        return
    said = f"{test.words.in_short} Against {test.mix.deliverable}."
    if test.words.finding == Finding.NULLS:
        yield Check(Outcome.PASS, "Null test", said)
    else:
        yield Check(
            Outcome.WARNING,
            "Null test",
            f"{said} That is no fault where the mix bus was processed.",
        )


def documentation(files: Files, asked: Asked) -> Iterator[Check]:
    """What the next engineer has to know of the song before they open the files."""
    song = asked.song
    missing = [what for what, known in (("key", song.key), ("tempo", song.tempo_map)) if not known]
    if missing:
        said = f"{song} has no {' or '.join(missing)}: the next engineer will ask."
        yield Check(Outcome.WARNING, "Documentation", said)
    else:
        yield Check(Outcome.PASS, "Documentation", "Key and tempo are given.")
    if DeliverableKind.DOCUMENTATION not in asked.order.kinds:
        return
    if DeliverableKind.DOCUMENTATION in asked.record.kinds:
        yield Check(Outcome.PASS, "Documentation", "It was uploaded.", asked.source)
    else:
        said = f"No documentation of {song} was uploaded yet: input list, notes, credits, lyrics."
        yield Check(Outcome.FAIL, "Documentation", said, asked.source)


def _plain(text: str) -> str:
    """Its letters and figures, of any script: without signs, accents and capitals."""
    return "".join(sign for sign in normalize("NFKD", text).casefold() if sign.isalnum())


OF_NAMES = (what_must_be_there, more_than_one, wet_and_dry, null_test, documentation)
OF_SOUND = (one_format, common_start, one_length)


def set_checks(files: Files, asked: Asked, *, all_measured: bool) -> Iterable[Check]:
    for rule in OF_NAMES:
        yield from rule(files, asked)
    if all_measured and len(files) > 1:
        for rule in OF_SOUND:
            yield from rule(files, asked)
