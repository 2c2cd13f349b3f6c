"""Client, project and song made from an imported sheet, in one step."""

import pytest
from django.urls import reverse

from sessions.clients.models import Client, Project
from sessions.recall.models import ImportedSheet
from sessions.songs.models import Part, Song
from tests.factories import ClientFactory, ProjectFactory, SongFactory
from tests.sessions.recall.imported.hostile import EXAMPLE
from tests.sessions.recall.imported.test_pages import brought, words
from tests.sessions.recall.imported.test_reading import RECALL, as_json, recall

pytestmark = pytest.mark.django_db

SHORT = {"project-sample_rate": 48000, "project-bit_depth": 24, "project-full_scale_dbu": "18.0"}
NEW = SHORT | {
    "client-here": "",
    "client-name": "Thole & Ledger Records",
    "project-here": "",
    "project-name": "Ninth Tide EP",
    "project-artist": "The Windlass Four",
    "song-title": "Slow the Lantern",
    "song-key": "D minor",
    "song-meter": "4/4",
    "song-tempo_map": "1: 92",
}


@pytest.fixture
def browser(client_of, manager):
    return client_of(manager)


def brought_address(browser, data=RECALL, page="imported:new_project") -> str:
    brought(browser, as_json(data))
    return reverse(page, args=[ImportedSheet.objects.latest("pk").pk])


def test_form_is_filled_in_from_the_file(browser):
    text = words(browser.get(brought_address(browser)))

    for value in ("Thole &amp; Ledger Records", "Ninth Tide EP", "The Windlass Four", "1: 92"):
        assert f'value="{value}"' in text


def test_client_project_and_song_are_made_in_one_step(browser):
    address = brought_address(browser, EXAMPLE)

    answer = browser.post(address, NEW | {"song-with_parts": "on"})

    song = Song.objects.select_related("project__client").get()
    assert (f"{song}", f"{song.project}", f"{song.project.client}") == (
        "Slow the Lantern",
        "Ninth Tide EP",
        "Thole & Ledger Records",
    )
    assert (song.key, song.tempo_map) == ("D minor", [{"bar": 1, "bpm": 92}])
    assert [part.name for part in song.parts.all()] == ["Cornet"]
    imported = ImportedSheet.objects.get()
    assert (imported.song, answer.url) == (song, imported.get_absolute_url())


def test_what_is_here_and_alike_is_offered_and_taken(browser):
    client = ClientFactory(name="Thöle & Ledger Records")
    project = ProjectFactory(client=client, name="Ninth Tide E.P.", artist="The Windlass Four")
    address = brought_address(browser)

    text = words(browser.get(address))
    browser.post(address, NEW | {"client-here": client.pk, "project-here": project.pk})

    assert f'<option value="{client.pk}" selected' in text
    assert "Already here, and alike: Ninth Tide E.P. (The Windlass Four)" in text
    assert Song.objects.get().project == project
    assert (Client.objects.count(), Project.objects.count()) == (1, 1)


def test_new_project_of_a_client_who_is_here(browser):
    client = ClientFactory(name="Ferrule Records")

    browser.post(brought_address(browser), NEW | {"client-here": client.pk})

    assert Project.objects.get().client == client
    assert Client.objects.get() == client


def test_pressed_twice_it_is_made_once(browser):
    form = NEW | {"press": "5"}
    address = brought_address(browser)

    answers = [browser.post(address, form) for _ in range(2)]

    assert answers[0].url == answers[1].url
    assert (Client.objects.count(), Project.objects.count(), Song.objects.count()) == (1, 1, 1)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"song-title": " "}, "This field is required."),
        ({"song-title": "x" * 9_000}, "at most 120 characters (it has 9000)"),
        ({"client-name": ""}, "Choose a client above, or name the new one."),
        ({"project-artist": ""}, "A new project needs this."),
        ({"client-name": "Ferrule Records"}, "already exists"),
        ({"song-tempo_map": "fast"}, "fast"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field_and_nothing_is_made(browser, changed, said):
    ClientFactory(name="Ferrule Records")

    answer = browser.post(brought_address(browser), NEW | changed)

    assert answer.status_code == 422
    assert said in words(answer)
    assert (Project.objects.count(), Song.objects.count()) == (0, 0)
    assert Client.objects.count() == 1
    assert ImportedSheet.objects.get().song is None


def test_title_of_another_song_there_is_refused_beside_the_title(browser):
    song = SongFactory(title="Slow the Lantern")

    answer = browser.post(brought_address(browser), NEW | {"project-here": song.project_id})

    assert answer.status_code == 422
    assert "has a song “Slow the Lantern” already" in words(answer)


@pytest.mark.parametrize("title", ["", " \t", "x" * 9_000, "a\u202eb\x07c"])
def test_titles_of_any_kind_are_cut_or_asked_for_beside_the_field(browser, title):
    data = recall(song=RECALL["song"] | {"title": title, "key": "D" * 300})

    text = words(browser.get(brought_address(browser, data)))
    shown = words(browser.get(ImportedSheet.objects.get().get_absolute_url()))

    assert "Cut to 20 letters: in the file it has 300." in text
    assert ("Cut to 120 letters" in text) == (len(title) == 9_000)
    assert ("Without a title from Oriel Yard" in shown) == (not title.strip())
    assert "a b c from Oriel Yard" in shown or title != "a\u202eb\x07c"


def test_who_works_at_a_session_makes_a_song_in_a_project_that_is_here(client_of, engineer):
    browser, project = client_of(engineer), ProjectFactory(name="Ninth Tide EP")
    address = brought_address(browser, page="imported:new_song")
    text = words(browser.get(address))
    refused = browser.post(address, NEW)

    browser.post(address, NEW | {"project-here": project.pk})

    assert "Name of the new project" not in text
    assert refused.status_code == 422
    assert Song.objects.get().project == project
    assert browser.get(address.replace("new-song", "new-project")).status_code == 403


def test_mix_engineer_makes_none(client_of, mix_engineer):
    browser = client_of(mix_engineer)

    assert browser.get(brought_address(browser, page="imported:new_song")).status_code == 403
    assert not Part.objects.exists()
