"""A paper put together, but not printed: enough to know whether the stored one says the same."""

import hashlib
from dataclasses import dataclass
from functools import cache

from django.conf import settings
from django.db.models import Model
from django.template.loader import render_to_string

from sessions.papers.stored.kinds import Contents
from sessions.papers.stored.models import StoredPaper

LONG = 300_000  # characters; such a paper takes longer than somebody should wait for a page


@dataclass(frozen=True)
class Draft:
    """`key` is the hash of all that is printed and enclosed, apart from when it is made."""

    title: str
    contents: Contents
    key: str
    is_long: bool


def draft_of(paper: StoredPaper, subject: Model) -> Draft:
    kind = paper.paper_kind
    contents = kind.contents(subject, paper.address)
    title = kind.title(subject)
    markup = render_to_string(kind.template, {**contents.context, "house": settings.STUDIO_NAME})
    about = (paper.kind, paper.subject, paper.size, paper.address)
    said = [str(each) for each in (*about, title, markup)]
    enclosed = contents.enclosure.content if contents.enclosure else b""
    key = hashlib.sha256(repr(said).encode() + enclosed + _design()).hexdigest()
    return Draft(title, contents, key, is_long=len(markup) > LONG)


@cache
def _design() -> bytes:
    """How papers look and what sets them: another version may print the same words otherwise."""
    root = settings.BASE_DIR
    files = [
        root / "requirements.txt",
        *root.glob("sessions/papers/*.py"),
        *root.glob("templates/print/*"),
    ]
    return b"".join(hashlib.sha256(file.read_bytes()).digest() for file in sorted(files))
