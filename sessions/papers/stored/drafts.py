"""A paper put together, but not printed: enough to know whether the stored one says the same."""

import hashlib
from dataclasses import dataclass
from functools import cache

from django.conf import settings
from django.db.models import Model
from django.template.loader import render_to_string

from sessions.papers.stored.kinds import Contents
from sessions.papers.stored.models import StoredPaper


@dataclass(frozen=True)
class Draft:
    """`key` is the hash of all that is printed and enclosed, apart from when it is made."""

    title: str
    contents: Contents
    key: str


def draft_of(paper: StoredPaper, subject: Model) -> Draft:
    kind = paper.paper_kind
    contents, title = kind.contents(subject, paper.address), kind.title(subject)
    said = contents.said
    if said is None:
        said = render_to_string(kind.template, contents.context)
    # What stands on every sheet, where what it says is known without setting it.
    house = render_to_string("print/house.txt", {"address": paper.address})
    about = (paper.kind, paper.subject, paper.size, paper.address, house)
    words = repr([str(each) for each in (*about, settings.TIME_ZONE, title, said)])
    enclosed = contents.enclosure.content if contents.enclosure else b""
    return Draft(title, contents, hashlib.sha256(words.encode() + enclosed + _code()).hexdigest())


@cache
def _code() -> bytes:
    """What this process runs: another version may print the same facts otherwise."""
    root = settings.BASE_DIR
    patterns = ("templates/**/*", "sessions/**/*.py", "gear/**/*.py", "studio/templatetags/*.py")
    files = [root / "requirements.txt", *(each for found in patterns for each in root.glob(found))]
    digests = [
        hashlib.sha256(file.read_bytes()).digest() for file in sorted(files) if file.is_file()
    ]
    return b"".join(digests)
