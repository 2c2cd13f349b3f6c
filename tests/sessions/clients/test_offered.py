"""What a filter offers of a house that has had more projects and clients than anybody reads through."""

import pytest
from django.urls import reverse

from sessions.clients import offered
from tests.factories import RecordingSessionFactory, SongFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def three(monkeypatch):
    """Projects of a client each, the oldest first; two are offered."""
    monkeypatch.setattr(offered, "OFFERED", 2)
    return [SongFactory().project for _ in range(3)]


def choices(page, name) -> set[int]:
    return {key.value for key, _ in page.context["filter"].form.fields[name].choices if key}


def test_newest_projects_are_offered_and_the_one_that_is_asked_for(client_of, engineer, three):
    old, *newer = (each.pk for each in three)
    web, songs = client_of(engineer), reverse("songs:list")

    offers, asked = web.get(songs), web.get(songs, {"project": old})

    assert choices(offers, "project") == {*newer}
    assert choices(asked, "project") == {old, *newer}
    assert [song.project_id for song in asked.context["table"].data] == [old]


def test_newest_clients_are_offered_and_the_one_that_is_asked_for(client_of, engineer, three):
    for project in three:
        RecordingSessionFactory(project=project)
    old, *newer = (each.client_id for each in three)
    web, sessions = client_of(engineer), reverse("bookings:list")

    assert choices(web.get(sessions), "client") == {*newer}
    assert choices(web.get(sessions, {"client": old}), "client") == {old, *newer}


def test_address_that_asks_for_no_number_offers_the_newest(client_of, engineer, three):
    page = client_of(engineer).get(reverse("songs:list"), {"project": "old"})

    assert choices(page, "project") == {each.pk for each in three[1:]}
