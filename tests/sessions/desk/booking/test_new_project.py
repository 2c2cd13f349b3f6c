"""A client, a project and songs that are new with a booking."""

from datetime import UTC, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from sessions.bookings.models import RecordingSession
from sessions.clients.models import Client, Project
from tests.factories import (
    ClientFactory,
    PersonFactory,
    ProjectFactory,
    RoomFactory,
    UnitFactory,
)
from tests.sessions.bookings.days import booked

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _a_week_before(time_machine):
    time_machine.move_to(datetime(2026, 5, 25, 9, tzinfo=UTC))


@pytest.fixture
def room():
    return RoomFactory(name="Bread Room")


@pytest.fixture
def wish(room):
    return {
        "title": "Group vocals",
        "starts_at": "2026-06-01T11:00",
        "ends_at": "2026-06-01T15:00",
        "status": "held",
        "rooms": [room.pk],
        "new_project": "Lock Keeper’s Wake",
        "client": "Sluice & Sons",
    }


def test_client_project_and_songs_are_made_with_the_booking(client_of, manager, wish):
    wish |= {"songs": "Mud Larks\r\n\r\n  Low  Water \r\nMud Larks"}

    client_of(manager).post(reverse("bookings:create"), wish)

    project = RecordingSession.objects.get().project
    assert (project.name, project.client.name) == ("Lock Keeper’s Wake", "Sluice & Sons")
    assert project.artist == "Sluice & Sons"
    assert list(project.songs.order_by("pk").values_list("title", flat=True)) == [
        "Mud Larks",
        "Low Water",
    ]
    assert project.history.get().history_user == manager
    assert project.client.history.get().history_user == manager


def test_nothing_is_made_where_the_booking_is_refused(client_of, manager, wish, room):
    booked(manager, rooms=[room])
    clients, projects = Client.objects.count(), Project.objects.count()

    page = client_of(manager).post(reverse("bookings:create"), wish)

    assert list(page.context["form"].errors) == ["rooms"]
    assert (Client.objects.count(), Project.objects.count()) == (clients, projects)
    assert page.context["form"]["client"].value() == "Sluice & Sons"
    assert "data-new-project open" in page.text


def test_names_that_are_known_make_nothing_twice(client_of, manager, wish):
    known = ProjectFactory(name="Lock Keeper’s Wake", client__name="Sluice & Sons")
    known.songs.create(title="Mud Larks")
    wish |= {"client": "sluice & sons", "songs": "Mud Larks\nNew One"}

    client_of(manager).post(reverse("bookings:create"), wish)

    assert RecordingSession.objects.get().project == known
    assert (Client.objects.count(), Project.objects.count()) == (1, 1)
    assert known.songs.count() == 2


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"client": ""}, "client", "Who is it for?"),
        ({"new_project": ""}, "new_project", "Name the project"),
        ({"client": "Old Quay Press"}, "client", "Old Quay Press is retired"),
        ({"client": "x" * 121}, "client", "Ensure this value has at most 120 characters"),
        ({"songs": "y" * 121}, "songs", "A title has at most 120 characters."),
        ({"project": "chosen"}, "new_project", "Choose a project or name a new one, not both."),
        (
            {"client": "Neap Press", "new_project": "done"},
            "new_project",
            "Neap Press has a retired",
        ),
        ({"client": "", "new_project": ""}, "project", "This field is required."),
    ],
)
def test_what_is_wrong_stands_beside_its_field(client_of, manager, wish, typed, field, said):
    ClientFactory(name="Old Quay Press", retired=True)
    retired = ProjectFactory(name="Done", client__name="Neap Press", retired=True)
    typed = {
        name: ProjectFactory().pk if text == "chosen" else text for name, text in typed.items()
    }

    page = client_of(manager).post(reverse("bookings:create"), wish | typed)

    errors = page.context["form"].errors
    assert list(errors) == [field]
    assert errors[field][0].startswith(said)
    assert not RecordingSession.objects.exists()
    assert retired.recording_sessions.count() == 0


def test_a_session_may_be_given_to_a_new_project(client_of, manager, wish, room):
    session = booked(manager, rooms=[room])

    client_of(manager).post(reverse("bookings:edit", args=[session.pk]), wish | {"seen": "1"})

    session.refresh_from_db()
    assert session.project.name == "Lock Keeper’s Wake"
    assert session.history.count() == 2


# What the form starts from, and what it finds


def test_form_starts_with_the_client_of_the_address(client_of, manager):
    """With their newest project, else with their name where a new one is named."""
    ProjectFactory(client__name="Sluice & Sons", name="First")
    second = ProjectFactory(client=Client.objects.get(), name="Second")
    bare = ClientFactory(name="Neap Press")
    url = reverse("bookings:create")

    known = client_of(manager).get(url, {"client": second.client_id}).context["form"]
    new = client_of(manager).get(url, {"client": bare.pk})

    assert (known["project"].value(), known["client"].value()) == (second.pk, "")
    assert new.context["form"]["client"].value() == "Neap Press"
    assert "data-new-project open" in new.text


@pytest.mark.parametrize(
    ("asked", "ends"),
    [
        ({"starts": "2026-06-01T11:00"}, "2026-06-01T15:00"),  # the house's four hours
        ({"starts": "2026-06-01T11:00", "project": "last"}, "2026-06-01T17:00"),
        ({"starts": "2026-06-01T11:00", "ends": "2026-06-01T12:00"}, "2026-06-01T12:00"),
        ({"day": "2026-06-01"}, "2026-06-01T14:00"),  # from 10:00
        ({"day": "2026-13-01"}, ""),
        ({"starts": "9999-12-31T23:00"}, ""),
        ({"starts": "soon"}, ""),
        ({}, ""),
    ],
)
def test_form_ends_as_long_after_the_start_as_usual(client_of, manager, room, asked, ends):
    last = booked(manager, start=10, end=16, rooms=[room])
    asked = {name: last.project_id if text == "last" else text for name, text in asked.items()}

    form = client_of(manager).get(reverse("bookings:create"), asked).context["form"]

    assert (form["ends_at"].value() or "") == ends


def test_finds_projects_and_clients_by_words(client_of, manager):
    """By the project, its artist or its client; retired ones are not found."""
    found = ProjectFactory(name="Ninth Tide EP", client__name="Thole & Ledger Records")
    ProjectFactory(name="Ninth Tide, old", retired=True)
    ClientFactory(name="Thole Brothers")

    projects = client_of(manager).get(
        reverse("bookings:known"), {"of": "projects", "q": "thole NINTH"}
    )
    clients = client_of(manager).get(reverse("bookings:known"), {"of": "clients", "q": "thole"})

    assert projects.text.strip() == (
        '<optgroup label="Thole &amp; Ledger Records">'
        f'<option value="{found.pk}">Ninth Tide EP</option></optgroup>'
    )
    assert clients.text.count("<option") == 2


@pytest.mark.parametrize("number", [1, 3])
def test_form_costs_the_same_for_one_and_for_three(client_of, manager, room, number):
    for _ in range(number):
        booked(manager, rooms=[RoomFactory()], people=[PersonFactory(bookable=True)])
        UnitFactory()
    client = client_of(manager)
    client.get(reverse("bookings:create"), {"room": room.pk, "starts": "2026-06-02T11:00"})

    with CaptureQueriesContext(connection) as queries:
        page = client.get(
            reverse("bookings:create"), {"room": room.pk, "starts": "2026-06-02T11:00"}
        )

    assert page.text.count('name="people"') == number
    assert len(queries) == 12
