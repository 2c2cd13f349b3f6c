"""Files that were made to do harm are refused in words, and the server's memory stays as it was."""

import json

import pytest
from django.core.files.base import ContentFile

from sessions.recall.imported import child
from sessions.recall.imported.child import read_in_child
from sessions.recall.imported.reading import JSON_LIMIT
from sessions.recall.imported.sense import NotARecall
from tests.sessions.recall.imported.bombs import pdf_of_bombs
from tests.sessions.recall.imported.test_reading import RECALL, as_json, pdf_with, stage_with
from tests.watched import peak_memory, watched

MOST_GROWTH = 50 << 20

BOMBS = {
    "one attachment of 300 MB": lambda: pdf_of_bombs(megabytes=300),
    "40 attachments of 70 MB": lambda: pdf_of_bombs(megabytes=70, attachments=40),
    "a million empty lists": lambda: b'{"format": [' + b"[]," * 1_500_000 + b"[]]}",
    "4.7 MB of brackets": lambda: b"[" * 2_350_000 + b"]" * 2_350_000,
    "JSON beyond its limit": lambda: b'{"format": "' + b"x" * JSON_LIMIT + b'"}',
    "a PDF of brackets": lambda: b"%PDF-1.7\n1 0 obj\n" + b"[" * 5_000_000,
}


def refusal(content: bytes) -> str:
    with pytest.raises(NotARecall) as refused:
        read_in_child(ContentFile(content, "recall.pdf"))
    return str(refused.value)


@pytest.mark.parametrize("bomb", BOMBS)
def test_bomb_is_refused_and_the_server_does_not_swell(bomb):
    content = BOMBS[bomb]()

    with watched() as taken:
        said = refusal(content)

    assert said.endswith(".")
    assert taken.grown < MOST_GROWTH
    [(memory, seconds)] = taken.children
    assert memory < child.MEMORY_BYTES + peak_memory()
    assert seconds < child.CPU_SECONDS


def test_sheet_is_read_alike_in_a_process_of_its_own():
    written = as_json(RECALL)

    assert read_in_child(ContentFile(written, "recall.json")) == RECALL
    assert read_in_child(ContentFile(pdf_with(recall_json=written), "recall.pdf")) == RECALL


def test_what_is_no_recall_is_refused_in_the_words_of_the_reading():
    assert "neither a PDF nor a JSON file" in refusal(b"RIFF\x00\x00WAVE")
    assert "bias is set but not on its panel" in refusal(
        json.dumps(stage_with(settings={"bias": 3})).encode()
    )


@pytest.mark.parametrize(
    ("limit", "least"), [("MEMORY_BYTES", 1 << 20), ("CPU_SECONDS", 0), ("WALL_SECONDS", 0.01)]
)
def test_reading_that_reaches_a_limit_is_refused_in_words(monkeypatch, limit, least):
    large = as_json(RECALL | {"studio": "x" * 4_000_000})
    monkeypatch.setattr(child, limit, least)

    assert "takes more time or memory than a recall sheet’s does" in refusal(large)
