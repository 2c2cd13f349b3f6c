"""Reading a recall that another studio wrote: its JSON, or the PDF that the JSON is attached to.

Nothing in it is trusted: sizes are limited, numbers must be finite, and what is text stays text. It is
read in a process of its own (`child.py`), so no Django here.
"""

import gc
import io
import json
import logging
import signal
import sys
from functools import cache

from jsonschema_rs import Draft202012Validator, ValidationError

from sessions.limited import limit_this_process
from sessions.recall.imported.pictures import check_pictures
from sessions.recall.imported.sense import NotARecall, check_sense
from sessions.recall.sheet.schema import ENCLOSED_AS, FORMAT, SCHEMA_FILE, VERSION

PDF_LIMIT = 15 * 2**20
JSON_LIMIT = 5 * 2**20
#: What the PDF's reader stops at while it unpacks a stream, so that none swells beyond the limit.
UNPACKED_LIMITS = (
    "zlib_maximum_output_length",
    "lzw_maximum_output_length",
    "run_length_maximum_output_length",
    "brotli_maximum_output_length",
)
#: Brackets and commas: so many lists and values, and no more work than that.
MOST_VALUES = 250_000
SECONDS = 1.3  # of computing, beside a quarter to start


def read_recall(content: bytes) -> dict:
    """The checked data of a PDF or JSON file. Raises NotARecall."""
    if content[:1024].lstrip().startswith(b"%PDF-"):
        content = _attached(content)
    data = _parsed(content)
    _check_version(data)
    try:
        _schema().validate(data)
    except ValidationError as mismatch:
        raise NotARecall(
            f"This recall sheet is damaged or was changed by hand ({_mismatch_in_words(mismatch)}). "
            "Ask for it again."
        ) from None
    check_sense(data)
    check_pictures(data)
    return data


@cache
def _schema() -> Draft202012Validator:
    return Draft202012Validator(json.loads(SCHEMA_FILE.read_text("utf-8")))


def _place(mismatch: ValidationError) -> str:
    """chains[1].stages[2].path: counted from one, as people do."""
    names = [
        f"[{step + 1}]" if isinstance(step, int) else f".{step[:40]}"
        for step in mismatch.instance_path
    ]
    return "".join(names).lstrip(".")


def _mismatch_in_words(mismatch: ValidationError) -> str:
    """Where it is and what is wrong there, without the data, which may be of any length."""
    if mismatch.kind.name == "oneOf":  # either null or something: what is wrong with that
        inner = [each for branch in mismatch.kind.context for each in branch]
        return _mismatch_in_words(max(inner, key=lambda each: len(each.instance_path)))
    place, kind = _place(mismatch), mismatch.kind
    match kind.name:
        case "additionalProperties":
            return f"{place}.{kind.unexpected[0][:40]}".lstrip(".") + ": is not known"
        case "required":
            words = f"is missing “{kind.property}”"
        case "type":
            words = f"must be {' or '.join(kind.types)}"
        case "const":
            words = f"must be {kind.value!r}"
        case "minimum":
            words = f"must be at least {kind.limit}"
        case "maximum":
            words = f"must be at most {kind.limit}"
        case "exclusiveMinimum":
            words = f"must be above {kind.limit}"
        case "enum":
            words = "is a word that is not known"
        case _:
            words = "is not as the schema says"
    return f"{place or 'the whole'}: {words}"


def _attached(pdf: bytes) -> bytes:
    """The JSON file attached to the PDF; of several, the one that a recall sheet's would be."""
    from pypdf import PdfReader, apply_configuration  # costs 0.2 s, and JSON needs neither
    from pypdf.errors import LimitReachedError

    try:
        with apply_configuration(**dict.fromkeys(UNPACKED_LIMITS, JSON_LIMIT)):
            attached = PdfReader(io.BytesIO(pdf)).attachment_list
            files = [each for each in attached if each.name.casefold().endswith(".json")]
            files.sort(key=lambda each: each.name != ENCLOSED_AS)
            content = files[0].content if files else None
    except MemoryError:
        raise
    except LimitReachedError as problem:
        raise _too_large() from problem
    except Exception as problem:  # whatever a damaged file makes the reader raise
        raise NotARecall(
            "This PDF is damaged or locked: nothing can be read from it. Ask for it again, or "
            "for the JSON file."
        ) from problem
    if content is None:
        raise NotARecall(
            "No recall data is attached to this PDF: it may have been printed again or scanned. Ask "
            "for the sheet as it came out of the studio’s own program, or for the JSON file."
        )
    return content


def _too_large() -> NotARecall:
    return NotARecall(f"Its data is larger than {JSON_LIMIT >> 20} MB: no recall sheet is.")


def _parsed(content: bytes) -> dict:
    if len(content) > JSON_LIMIT:
        raise _too_large()
    if sum(map(content.count, (b"[", b"{", b","))) > MOST_VALUES:
        raise NotARecall("This file holds more lists and values than any recall sheet does.")
    try:
        data = json.loads(
            content.decode("utf-8-sig"),
            parse_constant=_refuse_constant,
            object_pairs_hook=_refuse_twice,
        )
    except (UnicodeDecodeError, ValueError, RecursionError) as problem:
        raise NotARecall(
            "This is neither a PDF nor a JSON file, or it is damaged. Choose a recall sheet’s PDF "
            "or its JSON file."
        ) from problem
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise NotARecall(
            "This JSON file is not a recall sheet: choose the file that came with one."
        )
    return data


def _refuse_constant(name: str):
    raise ValueError(f"{name} is no number.")


def _refuse_twice(pairs: list[tuple[str, object]]) -> dict:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise NotARecall(
            "This file says something twice that can be said once: it is damaged, or was changed by "
            "hand. Ask for it again."
        )
    return found


def _check_version(data: dict) -> None:
    version = data.get("version")
    if isinstance(version, int) and version > VERSION:
        raise NotARecall(
            f"This recall sheet is written in version {version} of the format, and this program reads "
            f"up to version {VERSION}: update this program, or ask for an older version."
        )


def main(memory_bytes: str, cpu_seconds: str) -> None:
    """Reads the file from standard input, within limits; answers with its data, or why not."""
    limit_this_process(memory_bytes, cpu_seconds)
    signal.setitimer(signal.ITIMER_PROF, SECONDS)  # whose signal ends the process
    logging.disable()  # the PDF's reader writes down all that it can't read, to the last megabyte
    gc.disable()  # it only looks through millions of small things, again and again
    try:
        answer = {"recall": read_recall(sys.stdin.buffer.read())}
    except NotARecall as problem:
        answer = {"refusal": str(problem)}
    sys.stdout.buffer.write(json.dumps(answer, ensure_ascii=False).encode())


if __name__ == "__main__":
    main(*sys.argv[1:])
