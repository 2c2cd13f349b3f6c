"""Words that were ours alone don't come back into what people read."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from tests.shared_database import ROOT

# Each of two words or more, so that none is the trade's or the language's own.
GONE = (
    "a meter is",
    "a tick off",
    "all the same",
    "all the while",
    "as the device",
    "at all hours",
    "at the bench",
    "begun day",
    "between marks",
    "bring in",
    "brought in",
    "called off",
    "circle off",
    "cleared by",
    "common practice, no source",
    "departs first",
    "done without",
    "draw all",
    "even between",
    "first first",
    "first in line",
    "for a calendar",
    "for the house only",
    "go on recording",
    "gone stale",
    "hand in",
    "handed in",
    "handed over",
    "heard at",
    "hold in line",
    "is kept already",
    "is set down",
    "last first",
    "look at it",
    "look at the year",
    "moved up in line",
    "next in line",
    "no reading",
    "not at work",
    "not named",
    "not noted",
    "not started after all",
    "not to be had",
    "nothing of what it takes",
    "nothing was noted",
    "of its kind",
    "on record",
    "place in line",
    "plugged directly",
    "put in the form",
    "put it in the form",
    "put on record",
    "put right",
    "put up again",
    "right across a change",
    "set apart",
    "set the chain",
    "stands before",
    "stands behind",
    "still owed",
    "take it out",
    "take off",
    "take out",
    "take rolls",
    "take the challenge back",
    "take up again",
    "taken back",
    "taken down",
    "taken out",
    "takes no time",
    "to hand out",
    "to look at",
    "to spare",
    "until when it costs",
    "use by month",
    "usual one",
    "voice usually",
    "ways out",
    "what is in the way",
    "what is wanted",
    "what or who",
    "what they do",
    "who stands where",
    "worth knowing",
    "written down",
)


def test_no_template_or_message_says_what_is_gone():
    found = [
        f"{place}: {phrase}"
        for place, words in [*templates(), *messages()]
        for phrase in GONE
        if re.search(rf"\b{phrase}\b", words, re.IGNORECASE)
    ]

    assert found == []


def test_every_apostrophe_is_curly():
    found = [
        f"{place}: {words}"
        for place, text in [*templates(), *messages()]
        for words in re.findall(r"\w+ \w+'[a-z]+", text)
    ]

    assert found == []


def templates() -> Iterator[tuple[str, str]]:
    """Each template's words, without tags; what attributes say to a reader of the screen stays."""
    for file in files("templates", "*.html", "*.txt"):
        text = re.sub(r"{%.*?%}|{#.*?#}|{{.*?}}", "", spoken(file.read_text()), flags=re.DOTALL)
        yield where(file), " ".join(re.sub(r"<[^>]*>", " ", text).split())


def spoken(text: str) -> str:
    """With what includes and attributes are given to say in front."""
    given = re.findall(
        r'\b(?:title|text|question|action|label|aria-label|alt|placeholder|default:)="([^"]*)"',
        text,
    )
    return ". ".join(given) + ". " + text


def messages() -> Iterator[tuple[str, str]]:
    """What the code says: its texts, but neither docstrings nor single words."""
    for folder in ("gear", "sessions", "studio"):
        for file in files(folder, "*.py"):
            tree = ast.parse(file.read_text())
            docstrings = {id(each.value) for each in ast.walk(tree) if isinstance(each, ast.Expr)}
            for node in ast.walk(tree):
                said = isinstance(node, ast.Constant) and isinstance(node.value, str)
                if said and id(node) not in docstrings:
                    yield f"{where(file)}:{node.lineno}", node.value


def files(folder: str, *names: str) -> list[Path]:
    found = [file for name in names for file in sorted((ROOT / folder).rglob(name))]
    return [file for file in found if "migrations" not in file.parts]


def where(file: Path) -> str:
    return str(file.relative_to(ROOT))
