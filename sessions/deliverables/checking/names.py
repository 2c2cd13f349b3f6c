"""What a file is called: the order's pattern, and what any name must be (rule 12 of delivery)."""

import re
from collections.abc import Iterator
from pathlib import PurePath

from sessions.clients.naming import FORBIDDEN, LONGEST_SONG, camel_case
from sessions.deliverables.models import SOUND_KINDS, DeliverableFile

from .asked import Asked
from .checks import PRACTICE, RECOMMENDATIONS, Check, Outcome

LONGEST_BYTES = 255
SAYS_NOTHING = re.compile(r"(audio|track|untitled|bounce|channel|ch)?[ _\d-]*", re.IGNORECASE)


def name(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    said = list(_wrong_in(file.original_name))
    for words in said:
        yield Check(Outcome.FAIL, "Name", words, PRACTICE, file)
    if not said and not file.original_name.isascii():
        words = "The name has letters beyond A to Z: another system may show or store it otherwise."
        yield Check(Outcome.WARNING, "Name", words, RECOMMENDATIONS, file)
    elif not said:
        yield Check(Outcome.PASS, "Name", "Every system can store it.", PRACTICE, file)
    if asked.is_set and SAYS_NOTHING.fullmatch(PurePath(file.original_name).stem):
        words = "The name doesn’t say what is in the file: call it by its part, such as Lead Vocal."
        yield Check(Outcome.WARNING, "Name", words, "P&E Wing, archive tiers, 2006", file)


def _wrong_in(called: str) -> Iterator[str]:
    if signs := [sign for sign in FORBIDDEN if sign in called]:
        yield f"The name has “{' '.join(signs)}”, which not every system can store."
    if called.startswith("."):
        yield "The name begins with a stop: some systems hide the file."
    if called != called.rstrip(" .") or PurePath(called).stem.endswith(" "):
        yield "The name ends in a space or stop, which some systems remove."
    if (length := len(called.encode())) > LONGEST_BYTES:
        yield f"The name has {length} bytes; {LONGEST_BYTES} is the most that systems store."


def ending(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    there, source = PurePath(file.original_name).suffix.lower(), "the file’s own header"
    if file.format.endings and there not in file.format.endings:
        said = (
            f"The name ends in “{there or 'nothing'}”, but the file is {file.format.word}: "
            f"some programs will not open it until it is named {file.format.ending}."
        )
        yield Check(Outcome.WARNING, "Ending", said, source, file)
    elif file.format.endings:
        yield Check(Outcome.PASS, "Ending", f"{file.format.word}, as it is named.", source, file)


def naming(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    if not asked.project.file_naming or asked.deliverable.kind not in SOUND_KINDS:
        return
    if asked.naming is None:
        said = f"Names can’t be checked: {asked.project.file_naming} is no pattern of fields in braces."
        yield Check(Outcome.WARNING, "Naming", said, asked.source, file)
        return
    stem = PurePath(file.original_name).stem
    fields = asked.naming.fields_of(stem)
    if fields is None:
        said = (
            f"“{file.original_name}” doesn’t follow {asked.naming.pattern}: "
            f"{asked.naming.first_wrong(stem)} is not where it belongs. "
            f"For example {_example(file, asked)}."
        )
        yield Check(Outcome.FAIL, "Naming", said, asked.source, file)
        return
    wrong = list(_untrue(fields, file, asked))
    yield from wrong
    if not any(check.verdict == Outcome.FAIL for check in wrong):
        yield Check(Outcome.PASS, "Naming", f"As {asked.naming.pattern} says.", asked.source, file)


def _untrue(fields: dict[str, str], file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    """Where what the name says isn't so. What isn't measured can't be compared."""
    rate, depth = fields.get("rate"), fields.get("depth")
    if rate and file.sample_rate and int(rate) != file.sample_rate // 1000:
        said = f"The name says {rate}k, the file has {file.rate_in_words}."
        yield Check(Outcome.FAIL, "Naming", said, asked.source, file)
    if depth and file.bit_depth and int(depth) != file.bit_depth:
        said = f"The name says {depth} bit, the file has {file.depth_in_words}."
        yield Check(Outcome.FAIL, "Naming", said, asked.source, file)
    song, title = fields.get("song", "").casefold(), camel_case(asked.song.title)
    if song and not (title.casefold().startswith(song) or song.startswith(title.casefold())):
        said = f"The name says {fields['song']}, the song is {asked.song}."
        yield Check(Outcome.WARNING, "Naming", said, asked.source, file)
    if len(song) > LONGEST_SONG:
        said = f"The song’s title has {len(song)} letters in the name; under 15 is recommended."
        yield Check(Outcome.WARNING, "Naming", said, f"{RECOMMENDATIONS}, p. 13", file)


def _example(file: DeliverableFile, asked: Asked) -> str:
    rate = str((file.sample_rate or asked.rate) // 1000)
    depth = str(file.bit_depth or asked.depth)
    song = camel_case(asked.song.title)
    made = asked.naming.example(song=song, rate=rate, depth=depth)
    return made + (file.format.ending if file.container else ".wav")


def same_content(file: DeliverableFile, asked: Asked) -> Iterator[Check]:
    before = [each for each in asked.record.by_content.get(file.sha256, ()) if each.pk < file.pk]
    if before:
        said = (
            f"Byte for byte this is the same file as {before[0].deliverable}: check that the "
            "right one was exported."
        )
        yield Check(Outcome.WARNING, "Content", said, "the same SHA-256", file)
