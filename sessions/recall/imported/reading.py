"""Reading a recall that another studio wrote: its JSON, or the PDF that the JSON is attached to.

Nothing in it is trusted: sizes are limited, numbers must be finite, and what is text stays text. It is
read in a process of its own (`child.py`), so no Django here.
"""

import io
import json
import sys
from functools import cache
from itertools import islice

from jsonschema import Draft202012Validator, ValidationError
from jsonschema.exceptions import best_match

from sessions.limited import limit_this_process
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
DEEPEST = 30
MOST_CHAINS, MOST_STAGES = 200, 60
LONGEST_TEXT = 10_000
MOST_MISMATCHES = 20  # are weighed for the one to speak of


class NotARecall(ValueError):
    """The file can't be taken in; the message says what is wrong and what to do."""


def read_recall(content: bytes) -> dict:
    """The checked data of a PDF or JSON file. Raises NotARecall."""
    if content[:1024].lstrip().startswith(b"%PDF-"):
        content = _attached(content)
    data = _parsed(content)
    _check_version(data)
    if mismatch := best_match(islice(_schema().iter_errors(data), MOST_MISMATCHES)):
        raise NotARecall(
            f"This recall sheet is damaged or was changed by hand ({_mismatch_in_words(mismatch)}). "
            "Ask for it again."
        )
    _check_sense(data)
    return data


@cache
def _schema() -> Draft202012Validator:
    return Draft202012Validator(json.loads(SCHEMA_FILE.read_text("utf-8")))


def _place(mismatch: ValidationError) -> str:
    """chains[1].stages[2].path: counted from one, as people do."""
    names = [
        f"[{step + 1}]" if isinstance(step, int) else f".{step[:40]}"
        for step in mismatch.absolute_path
    ]
    return "".join(names).lstrip(".")


def _mismatch_in_words(mismatch: ValidationError) -> str:
    """Where it is and what is wrong there, without the data, which may be of any length."""
    place, rule = _place(mismatch), mismatch.validator_value
    if mismatch.validator == "additionalProperties":
        further = sorted(set(mismatch.instance) - set(mismatch.schema["properties"]))
        return f"{place}.{further[0][:40]}".lstrip(".") + ": is not known"
    match mismatch.validator:
        case "required":
            words = f"is missing “{next(name for name in rule if name not in mismatch.instance)}”"
        case "type":
            words = f"must be {rule if isinstance(rule, str) else ' or '.join(rule)}"
        case "const":
            words = f"must be {rule!r}"
        case "minimum":
            words = f"must be at least {rule}"
        case "exclusiveMinimum":
            words = f"must be above {rule}"
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
    try:
        data = json.loads(content.decode("utf-8-sig"), parse_constant=_refuse_constant)
    except (UnicodeDecodeError, ValueError, RecursionError) as problem:
        raise NotARecall(
            "This is neither a PDF nor a JSON file, or it is damaged. Choose a recall sheet’s PDF "
            "or its JSON file."
        ) from problem
    if not isinstance(data, dict) or data.get("format") != FORMAT or _depth(data) > DEEPEST:
        raise NotARecall(
            "This JSON file is not a recall sheet: choose the file that came with one."
        )
    return data


def _refuse_constant(name: str):
    raise ValueError(f"{name} is no number.")


def _depth(data, so_far: int = 1) -> int:
    if so_far > DEEPEST:
        return so_far
    inner = data.values() if isinstance(data, dict) else data if isinstance(data, list) else ()
    return max((_depth(each, so_far + 1) for each in inner), default=so_far)


def _check_version(data: dict) -> None:
    version = data.get("version")
    if isinstance(version, int) and version > VERSION:
        raise NotARecall(
            f"This recall sheet is written in version {version} of the format, and this program reads "
            f"up to version {VERSION}: update this program, or ask for an older version."
        )


def _check_sense(data: dict) -> None:
    """What a schema can't say."""
    if len(data["chains"]) > MOST_CHAINS:
        raise NotARecall(f"This recall sheet has more than {MOST_CHAINS} chains: no song has.")
    _check_texts(data)
    for chain in data["chains"]:
        if len(chain["stages"]) > MOST_STAGES:
            raise NotARecall(f"Its chain {chain['place']} has more than {MOST_STAGES} units.")
        positions = [stage["position"] for stage in chain["stages"]]
        if len(set(positions)) < len(positions) or max(positions, default=1) > 10_000:
            raise NotARecall(f"The units of its chain {chain['place']} are not in order.")
        _check_figures(chain)
    places = [chain["place"] for chain in data["chains"]]
    if len(set(places)) < len(places) or max(places, default=1) > 10_000:
        raise NotARecall("Its chains are not in order. Ask for it again.")


def _check_figures(chain: dict) -> None:
    """That the figures are such as can be measured: then there is room for them here."""
    readings = [stage["tone_reading_dbu"] for stage in chain["stages"]]
    levels = [chain["levels"]["tone_dbu"], *readings]
    placed = [value for value in (chain["placement"] or {}).values() if _is_figure(value)]
    too_far = [value for value in levels if value is not None and abs(value) > 200]
    too_far += [value for value in placed if abs(value) > 9_999]
    if too_far or (chain["levels"]["tone_hz"] or 0) > 200_000:
        raise NotARecall(f"Chain {chain['place']} holds an impossible level or distance.")


def _is_figure(value) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _check_texts(data) -> None:
    if isinstance(data, str):
        if len(data) > LONGEST_TEXT or "\x00" in data:
            raise NotARecall("A text in this recall sheet is longer than any note, or is no text.")
    elif isinstance(data, dict):
        for key, value in data.items():
            _check_texts(key)
            _check_texts(value)
    elif isinstance(data, list):
        for value in data:
            _check_texts(value)
    elif isinstance(data, int | float) and abs(data) > 1e12:
        raise NotARecall("A number in this recall sheet is larger than anything that can be set.")


def main(memory_bytes: str, cpu_seconds: str) -> None:
    """Reads the file from standard input, within limits; answers with its data, or why not."""
    limit_this_process(memory_bytes, cpu_seconds)
    try:
        answer = {"recall": read_recall(sys.stdin.buffer.read())}
    except NotARecall as problem:
        answer = {"refusal": str(problem)}
    json.dump(answer, sys.stdout)


if __name__ == "__main__":
    main(*sys.argv[1:])
