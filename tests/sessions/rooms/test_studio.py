"""The studio’s own facts: kept once, shown on every page, told on whatever leaves the house."""

from email import message_from_bytes, policy

import pytest
from django.db import OperationalError, connection
from django.template.loader import render_to_string
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from sessions.letters.mime import as_message
from sessions.letters.outbox import Draft, post
from sessions.letters.text import LetterText
from sessions.rooms.models import Studio
from studio.roles import Role
from tests.factories import UserFactory

pytestmark = pytest.mark.django_db
URL = reverse("rooms:studio")
FACTS = {
    "name": "Sluice Gate Rooms",
    "address": "4 Sluice Gate\nOakum",
    "phone": "01632 960 211",
    "email": "hello@sluice-gate.example",
    "sender": "book@sluice-gate.example",
    "directions": "The blue door beside the chandler’s.",
    "registration_number": "00 112 358",
    "tax_number": "XX 13 21 34",
    "bank_details": "Harbour Bank\nXX00 0000 0000",
}


def save(web, **typed):
    seen = web.get(URL).context["seen"]
    return web.post(URL, FACTS | typed | {"seen": seen})


def test_first_name_is_the_environments_and_looking_writes_nothing(client_of, manager, settings):
    settings.STUDIO_NAME = "Capstan House"

    page = client_of(manager).get(URL)

    assert page.context["form"]["name"].value() == "Capstan House"
    assert "<span>Capstan House</span>" in page.text
    assert not Studio.objects.exists()


def test_facts_are_saved_with_who_did_it(client_of, manager):
    response = save(client_of(manager))

    studio = Studio.current()
    assert response.status_code == 302
    assert {name: getattr(studio, name).replace("\r", "") for name in FACTS} == FACTS
    assert studio.history.first().history_user == manager


def test_name_stands_at_the_head_of_every_page_without_a_query(client_of, manager):
    web = client_of(manager)
    save(web)

    with CaptureQueriesContext(connection) as queries:
        page = web.get(reverse("rooms:list"))

    assert "<span>Sluice Gate Rooms</span>" in page.text
    [asked] = [each["sql"] for each in queries.captured_queries if "sessions_studio" in each["sql"]]
    assert 'FROM "studio_user"' in asked  # which every page asks: who signed in?


def test_name_is_told_who_signs_in(client):
    Studio.objects.create(pk=1, name="Sluice Gate Rooms")

    assert "Sluice Gate Rooms" in client.get(reverse("login")).text


def test_page_of_an_error_has_a_name_though_no_database_answers(settings):
    settings.STUDIO_NAME = "Capstan House"

    with connection.execute_wrapper(_gone):
        page = render_to_string("500.html")

    assert "Capstan House" in page


def _gone(*_):
    raise OperationalError("the server closed the connection")


@pytest.mark.parametrize(
    ("field", "typed"), [("name", ""), ("sender", "not an address"), ("email", "hello@")]
)
def test_what_cannot_be_is_refused_beside_its_field_and_stays_typed(
    client_of, manager, field, typed
):
    page = save(client_of(manager), **{field: typed})

    form = page.context["form"]
    assert list(form.errors) == [field]
    assert (form[field].value(), form["directions"].value()) == (typed, FACTS["directions"])
    assert Studio.current().phone == ""


def test_second_editor_sees_both_versions(client_of, manager):
    web = client_of(manager)
    save(web)
    seen = web.get(URL).context["seen"]
    save(web, phone="01632 960 298")

    page = web.post(URL, FACTS | {"phone": "01632 960 299", "seen": seen})

    assert page.status_code == 409
    [telephone] = page.context["meanwhile"].differences
    assert telephone == ("Telephone", "01632 960 298", "01632 960 299")


@pytest.mark.parametrize("role", [Role.ENGINEER, Role.ASSISTANT, Role.MIX_ENGINEER])
def test_only_managers_edit_it(client_of, role):
    assert client_of(UserFactory(role=role)).get(URL).status_code == 403


@pytest.mark.parametrize(
    ("name", "sender", "shown"),
    [
        ("Quay Steps", "book@q.example", ("Quay Steps", "book@q.example")),
        ("Säume & “Salz”, Kai 4", "book@q.example", ("Säume & “Salz”, Kai 4", "book@q.example")),
        ("Quay Steps", "", ("Quay Steps", "desk@oakum.example")),
    ],
)
def test_letters_are_from_the_studio_by_name(name, sender, shown, manager, settings):
    """Read by Python's `email` policy, which knows RFC 5322 and RFC 2047."""
    settings.DEFAULT_FROM_EMAIL = "The desk <desk@oakum.example>"
    studio = Studio(pk=1, name=name, sender=sender)
    draft = Draft(to="hesper@tholes.example", subject="Voices", text=LetterText())
    [letter] = post(manager, kind="booked", drafts=[draft], sender=studio.writes_as, by=manager)

    sent = message_from_bytes(as_message(letter).message().as_bytes(), policy=policy.default)

    [author] = sent["From"].addresses
    assert (author.display_name, author.addr_spec) == shown
