"""What a project needs at once is asked for; what is set from the start is folded away."""

import pytest
from django.urls import reverse
from lxml import html

from sessions.clients.models import Project
from sessions.clients.naming import RECOMMENDED
from tests.factories import ClientFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def form(client_of, manager):
    address = reverse("clients:project_create", args=[ClientFactory().pk])
    return html.fromstring(client_of(manager).get(address).content).xpath("//form[@novalidate]")[0]


def test_only_name_artist_and_who_mixes_are_asked_at_once(form):
    folded = {field.name for field in form.xpath(".//details[not(@open)]//*[@name]")}
    at_once = {field.name for field in form.inputs if field.get("type") != "hidden"} - folded

    assert {"sample_rate", "bit_depth", "full_scale_dbu", "file_naming", "stems"} <= folded
    assert {name for name in at_once if name} == {"name", "artist", "note"}
    assert RECOMMENDED in form.xpath("string(.//summary)")
    assert "48 kHz, 24 bit, full scale at +18.0 dBu" in form.xpath("string(.//summary)")


def test_name_and_artist_are_enough(form, client_of, manager):
    typed = dict(form.form_values()) | {"name": "Ninth Tide EP", "artist": "The Windlass Four"}
    address = reverse("clients:project_create", args=[ClientFactory().pk])

    client_of(manager).post(address, typed)

    project = Project.objects.get()
    assert (project.sample_rate, project.bit_depth, project.full_scale_dbu) == (48_000, 24, 18)
    assert project.file_naming == RECOMMENDED
    assert project.naming is not None


def test_what_is_wrong_is_unfolded(form, client_of, manager):
    typed = dict(form.form_values()) | {"name": "Ninth Tide EP", "artist": "The Windlass Four"}
    address = reverse("clients:project_create", args=[ClientFactory().pk])

    page = client_of(manager).post(address, typed | {"file_naming": "{song"})

    opened = html.fromstring(page.content).xpath("//form//details[@open]")
    assert [fold.xpath("string(summary//span[1]/text())") for fold in opened] == [
        "Format and naming"
    ]
