"""A chain of another studio’s sheet, measured there and set up here, is held against what it was there."""

import json

import pytest
from django.urls import reverse

from sessions.recall.imported.chains import chains_of_data
from sessions.recall.models import ImportedSheet
from sessions.recall.rebuilds.actions import start_rebuild
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.data import recall_json
from tests.factories import ImportedSheetFactory
from tests.sessions.recall.then_and_now.measured import (
    GAIN_DB,
    measured_now,
    measured_vocal,
    through,
)

pytestmark = pytest.mark.django_db
ADDRESS = "https://oriel-yard.example/songs/1/recall-sheet/"


@pytest.fixture
def imported(engineer) -> ImportedSheet:
    song = measured_vocal().chain.parts.get().song
    data = json.loads(recall_json(recall_sheet(song), studio="Oriel Yard", address=ADDRESS))
    return ImportedSheetFactory(song=song, data=data, imported_by=engineer)


def test_it_is_compared_with_what_the_sheet_says(client_of, engineer, imported):
    chains = chains_of_data(imported.data)
    rebuild = start_rebuild(imported.song, chains=chains, imported=imported, by=engineer)
    measured_now(rebuild, through(GAIN_DB - 2))

    page = client_of(engineer).get(reverse("then_and_now:chain", args=[rebuild.pk, 1]))
    assert "2 dB low." in page.content.decode()
    proposal = client_of(engineer).get(reverse("then_and_now:proposal", args=[rebuild.pk, 1]))
    text = " ".join(proposal.content.decode().split())
    assert "<strong>Gain</strong>" in text
    assert 'from 35 dB to <strong class="nowrap">37 dB' in text


def test_unit_of_the_other_studio_is_named_by_its_number_at_the_cautions(
    client_of, engineer, imported
):
    chains = chains_of_data(imported.data)
    rebuild = start_rebuild(imported.song, chains=chains, imported=imported, by=engineer)

    shown = client_of(engineer).get(reverse("then_and_now:measure", args=[rebuild.pk, 1]))

    cautions = shown.context["form"].cautions
    assert (
        cautions[2].title == "Phantom power (48 V) is off at the input of unit 2 and has died away"
    )
