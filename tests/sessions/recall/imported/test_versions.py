"""Files of every earlier version are read and shown with what they have."""

import copy
import json

import pytest
from django.template.loader import render_to_string

from sessions.recall.imported.reading import read_recall
from sessions.recall.imported.shown.sheet import sheet_told
from sessions.recall.models import ImportedSheet
from sessions.recall.sheet.schema import SCHEMA_FILE, VERSION
from tests.sessions.recall.imported.hostile import EXAMPLE
from tests.sessions.recall.imported.test_reading import RECALL

SCHEMA = json.loads(SCHEMA_FILE.read_text("utf-8"))


def _needed_first_in(version: int) -> dict:
    """What the schema needs from that version on."""
    [rule] = [
        rule["then"]
        for rule in SCHEMA["allOf"]
        if rule["if"]["properties"]["version"]["minimum"] == version
    ]
    return rule


def _without(data: dict, rule: dict) -> None:
    for name in rule.get("required", ()):
        data.pop(name, None)
    for name, inner in rule.get("properties", {}).items():
        for each in data[name] if isinstance(data.get(name), list) else [data.get(name)]:
            if each is not None:
                _without(each, inner.get("items", inner))


def _without_the_sixth(data: dict) -> None:
    for name in ("patching", "sessions", "contact"):
        data.pop(name, None)
    for chain in data["chains"]:
        for name in ("logged_by", "measurements"):
            chain.pop(name, None)


def as_of(version: int) -> dict:
    """The example as that version wrote it."""
    if version == 1:
        return RECALL
    data = copy.deepcopy(EXAMPLE) | {"version": version}
    _without_the_sixth(data)
    for later in range(5, version, -1):
        _without(data, _needed_first_in(later))
    if version < 3:
        for chain in data["chains"]:
            chain["part"] = "Cornet"
    return data


@pytest.mark.parametrize("version", range(1, VERSION + 1))
def test_file_of_each_version_is_read_and_shown(version):
    data = EXAMPLE if version == VERSION else as_of(version)
    assert data["version"] == version

    read = read_recall(json.dumps(data).encode())
    imported = ImportedSheet(pk=1, data=read, studio="Oriel Yard", title="")
    page = {"sheet": sheet_told(imported), "pages_open": ""}
    text = render_to_string("sessions/recall/sheet/_whole.html", page)

    assert read == data
    for chain in data["chains"]:
        assert chain["track"] in text
        for stage in chain["stages"]:
            assert stage["unit"]["asset_tag"] in text


@pytest.mark.parametrize("version", range(2, 6))
def test_what_a_version_lacks_is_missed_in_the_next(version):
    """So that these are files of that version, and not of the next."""
    read_recall(json.dumps(as_of(version)).encode())
    if version < 5:
        with pytest.raises(ValueError, match="is missing"):
            read_recall(json.dumps(as_of(version) | {"version": version + 1}).encode())
