"""A recall sheet from one studio imported in another: previewed, kept, and set up again."""

import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.urls import reverse

from gear.equipment.models import Unit
from sessions.recall.models import ImportedSheet, Rebuild
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import recall_data
from sessions.songs.models import Song
from tests.factories import SongFactory, UnitFactory
from tests.sessions.recall.imported.test_reading import RECALL, as_json, pdf_with, stage_with
from tests.sessions.recall.patched import patched_vocal
from tests.sessions.recall.rebuilds.vocal import preamplifier_model, recorded_vocal

pytestmark = pytest.mark.django_db
HOSTILE = "<script>alert(1)</script>"


@pytest.fixture
def browser(client_of, engineer):
    return client_of(engineer)


def brought(browser, content, name="recall.json"):
    return browser.post(reverse("imported:list"), {"file": SimpleUploadedFile(name, content)})


def words(response):
    return " ".join(response.content.decode().split())


def written_elsewhere() -> dict:
    """The data of a recall in a database that is empty again afterwards."""
    with transaction.atomic():
        song = recorded_vocal().chain.parts.get().song
        loaded = Song.objects.select_related("project__client").get(pk=song.pk)
        data = recall_data(recall_sheet(loaded), studio="Oriel Yard", address="https://x.example/")
        transaction.set_rollback(True)
    assert not Unit.objects.exists()
    return data


def test_recall_makes_the_round_trip_into_an_empty_database(browser):
    data = written_elsewhere()

    page = brought(browser, pdf_with(recall_json=json.dumps(data).encode()), "recall.pdf")

    imported = ImportedSheet.objects.get()
    assert page.url == imported.get_absolute_url()
    assert imported.data == data
    assert (imported.studio, imported.title) == ("Oriel Yard", "Slow the Lantern")
    text = words(browser.get(page.url))
    assert "<title>Gain: 35 dB" in text  # drawn from the marks that came with it
    assert "From slightly above" in text or "22 cm" in text


def test_printed_sheet_itself_is_read_in_with_the_same_data(browser):
    with transaction.atomic():
        song = patched_vocal().song
        paper = b"".join(browser.get(reverse("recall:song_pdf", args=[song.pk])))
        data = browser.get(reverse("recall:song_json", args=[song.pk])).json()
        transaction.set_rollback(True)
    assert not Unit.objects.exists()

    page = brought(browser, paper, "recall.pdf")

    imported = ImportedSheet.objects.get()
    assert page.url == imported.get_absolute_url()
    assert imported.data == data
    text = words(browser.get(page.url))
    assert "<strong>Bay 1 A1</strong> Wall 1" in text
    assert "microphone level" in text
    assert "B3: Comp 1 in is no longer fed by Effect out" in text.replace("\xa0", " ")
    assert "0 dBFS at +18.0 dBu" in text
    assert "out <b>−31.8</b>" in text
    assert "In use for <strong>Lead vocal, take 1</strong>" in text
    assert "Click: just there, left" in text


def test_file_of_the_first_version_is_shown_with_what_it_has(browser):
    brought(browser, as_json(RECALL))

    text = words(browser.get(ImportedSheet.objects.get().get_absolute_url()))

    assert "1 kHz, −40.0 dBu" in text
    assert "no snapshot was kept there" in text
    assert 'id="headphones"' not in text


def test_recall_is_kept_for_a_song_and_set_up_again_by_hand(browser, engineer):
    brought(browser, as_json(written_elsewhere()))
    song = SongFactory(title="slow the lantern")
    twin = UnitFactory(model=preamplifier_model(), asset_tag="P-07")
    imported = ImportedSheet.objects.get()
    assert f'value="{song.pk}" selected' in words(browser.get(imported.get_absolute_url()))

    browser.post(imported.get_absolute_url(), {"song": song.pk})
    browser.post(reverse("rebuild:start_imported", args=[imported.pk]), {"chains": ["1"]})

    rebuild = Rebuild.objects.get(song=song, imported=imported)
    assert [step.unit for step in rebuild.steps.all()] == [None, None]
    units = reverse("rebuild:units", args=[rebuild.pk])
    page = browser.get(units)
    assert f'value="{twin.pk}" selected' in words(page)  # the same model's name: suggested
    form = {
        f"step-{step.pk}-{name}": value
        for step, unit in zip(rebuild.steps.all(), ["", twin.pk], strict=True)
        for name, value in (("unit", unit), ("seen", 1))
    }
    browser.post(units, form)
    line = checklist_of(rebuild).stages[1]
    assert (line.unit, line.to_set, line.unmatched) == (twin, 2, ())
    assert [control.wanted for control in line.controls] == [1, 35]


def test_text_that_came_with_it_stays_text(browser):
    data = stage_with(note=HOSTILE) | {"studio": HOSTILE}
    brought(browser, as_json(data), name=f"{HOSTILE}.json")

    text = words(browser.get(ImportedSheet.objects.get().get_absolute_url()))

    assert HOSTILE not in text
    assert text.count("&lt;script&gt;alert(1)&lt;/script&gt;") > 2


@pytest.mark.parametrize(
    ("content", "said"), [(b"", "This file is empty."), (b"hello", "neither a PDF nor a JSON file")]
)
def test_refusal_stands_beside_the_field(browser, content, said):
    page = brought(browser, content)

    assert page.status_code == 422
    assert said in words(page)
    assert not ImportedSheet.objects.exists()


def test_what_is_looked_at_is_nobody_elses_and_can_be_put_away(browser, client_of, assistant):
    brought(browser, as_json(RECALL))
    imported = ImportedSheet.objects.get()
    discard = reverse("imported:discard", args=[imported.pk])
    start = reverse("rebuild:start_imported", args=[imported.pk])
    assert browser.get(start).url == imported.get_absolute_url()
    assert client_of(assistant).get(imported.get_absolute_url()).status_code == 404
    assert client_of(assistant).post(discard).status_code == 404

    client_of(imported.imported_by).post(discard)

    assert not ImportedSheet.objects.exists()


def test_what_is_kept_is_not_put_away(browser):
    brought(browser, as_json(RECALL))
    imported = ImportedSheet.objects.get()
    browser.post(imported.get_absolute_url(), {"song": SongFactory().pk})

    browser.post(reverse("imported:discard", args=[imported.pk]))

    assert ImportedSheet.objects.get().song is not None


def test_mix_engineer_keeps_it_only_for_a_song_they_mix(client_of, mix_engineer, mixed_project):
    mixing = client_of(mix_engineer)
    brought(mixing, as_json(RECALL))
    imported = ImportedSheet.objects.get()

    refused = mixing.post(imported.get_absolute_url(), {"song": SongFactory().pk})
    mixing.post(imported.get_absolute_url(), {"song": SongFactory(project=mixed_project).pk})

    assert refused.status_code == 422
    assert ImportedSheet.objects.get().song.project == mixed_project
