"""The page that says how another program writes a recall sheet."""

import json

import pytest
from django.urls import reverse

from sessions.recall.imported.format import objects_of_format
from sessions.recall.imported.reading import read_recall
from sessions.recall.sheet.schema import SCHEMA_FILE

pytestmark = pytest.mark.django_db
SCHEMA = json.loads(SCHEMA_FILE.read_text("utf-8"))


def test_page_tells_of_every_field_of_the_schema(client_of, mix_engineer):
    text = client_of(mix_engineer).get(reverse("imported:format")).content.decode()

    for facts in (SCHEMA, *SCHEMA["$defs"].values()):
        for name in facts.get("properties", {}):
            assert f"<code>{name}</code>" in text


def test_every_object_of_the_schema_is_told_once():
    names = [each.name for each in objects_of_format()]

    assert sorted(names[1:]) == sorted(SCHEMA["$defs"])


def test_what_the_newest_version_needs_is_told():
    objects = {
        each.name: {field.name: field for field in each.fields} for each in objects_of_format()
    }

    assert objects["chain"]["patch_list"].needed  # from the second version on
    assert objects[""]["comps"].needed
    assert objects["source_facts"]["not_yet_set"].needed
    assert not objects["chain"]["measurements"].needed
    assert objects["chain"]["placement"].kind == "object or null"
    assert objects["model"]["warm_up_minutes"].kind == "whole number, at least 0"


def test_schema_and_example_are_files_and_the_example_can_be_imported(client_of, mix_engineer):
    browser = client_of(mix_engineer)

    answers = [browser.get(reverse(f"imported:{name}")) for name in ("schema", "example")]

    assert [json.loads(answer.content) for answer in answers][0] == SCHEMA
    assert read_recall(answers[1].content)["song"]["title"]
    assert answers[1]["Content-Disposition"] == 'attachment; filename="recall.example.json"'
