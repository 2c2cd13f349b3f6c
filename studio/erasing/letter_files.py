"""Files that went with letters: what can be read in words is replaced, a paper that names somebody is
taken out and made anew if it goes again. Papers that were issued stay."""

import re
from collections.abc import Iterable, Iterator
from io import BytesIO

from pypdf import PdfReader

from sessions.letters.models import LetterFile
from studio.erasing.whom import Whom

ISSUED = "sessions.money."  # what makes them stands there
FOLDED = re.compile(r"\r?\n[ \t]")  # RFC 5545, 3.1: a long line goes on in the next


def contents_without(
    whom: Whom, keys: Iterable[int] | None = None
) -> Iterator[tuple[int, dict[str, bytes]]]:
    files = LetterFile.objects.exclude(content=b"").exclude(made_by__startswith=ISSUED)
    if keys is not None:
        files = files.filter(pk__in=keys)
    rows = files.values_list("pk", "content_type", "content", "letter__person_id")
    for key, content_type, content, reader in rows.iterator(chunk_size=20):
        theirs = reader in whom.people
        text = _text_of(content_type, bytes(content))
        without = whom.words.erased(text, theirs=theirs)
        if without != text:
            yield key, {"content": without.encode() if _is_text(content_type) else b""}


def _text_of(content_type: str, content: bytes) -> str:
    if _is_text(content_type):
        return FOLDED.sub("", content.decode(errors="replace"))
    if content_type != "application/pdf":
        return ""
    return " ".join(page.extract_text() for page in PdfReader(BytesIO(content)).pages)


def _is_text(content_type: str) -> bool:
    return content_type.startswith("text/")
