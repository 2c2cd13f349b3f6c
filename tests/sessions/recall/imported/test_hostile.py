"""A share of the 300 hostile files of `python -m tests.measure long sheets`: each is refused in a
sentence, or read and shown; none costs time or memory."""

import resource
import time

import pytest
from django.core.files.base import ContentFile
from django.template.loader import render_to_string

from sessions.recall.imported.child import read_in_child
from sessions.recall.imported.sense import NotARecall
from sessions.recall.imported.shown.sheet import sheet_told
from sessions.recall.models import ImportedSheet
from tests.sessions.recall.imported.hostile import KINDS, hostile
from tests.sessions.recall.imported.test_child import MOST_GROWTH
from tests.watched import peak_memory, watch_memory

SHARE = 40
MOST_SECONDS = 2


def computed() -> float:
    """Seconds, here and in the processes that ended."""
    ended = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + ended.ru_utime + ended.ru_stime


@pytest.mark.parametrize("seed", range(1000, 1000 + SHARE))
def test_hostile_file_is_refused_in_a_sentence_or_shown(seed):
    what, content = hostile(seed)
    before, since = watch_memory(), computed()
    data, said = None, "."
    try:
        data = read_in_child(ContentFile(content, "recall.pdf"))
    except NotARecall as refusal:
        said = str(refusal)
    assert said.endswith(".")
    assert len(said) < 500
    assert computed() - since < MOST_SECONDS, what
    if data is not None:
        imported = ImportedSheet(pk=1, data=data, studio="", title="")
        page = {"sheet": sheet_told(imported), "pages_open": ""}
        assert render_to_string("sessions/recall/sheet/_whole.html", page).encode()
    assert peak_memory() - before < MOST_GROWTH, what


def test_share_has_every_kind_of_them_twice():
    assert 2 * len(KINDS) <= SHARE
