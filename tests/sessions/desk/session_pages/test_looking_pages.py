"""The list and the page of a session."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.actions import set_status
from sessions.bookings.models import Status
from tests.factories import (
    ClientFactory,
    CreditFactory,
    PersonFactory,
    ProjectFactory,
    RecordingSessionFactory,
    RoomFactory,
    UnitFactory,
)
from tests.sessions.bookings.days import booked

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


@pytest.mark.parametrize("count", [1, 3])
def test_list_costs_the_same_at_any_length(client_of, manager, count, django_assert_num_queries):
    for _ in range(count):
        booked(
            manager,
            people=[PersonFactory(bookable=True), PersonFactory(bookable=True)],
            units=[UnitFactory()],
            rooms=[RoomFactory(), RoomFactory()],
        )
    client = client_of(manager)

    with django_assert_num_queries(10):
        page = client.get(reverse("bookings:list"), {"when": ""})

    assert len(page.context["table"].rows) == count


def listed(web, **asked):
    page = web.get(reverse("bookings:list"), asked)
    return [row.record.title for row in page.context["table"].rows]


def test_list_shows_now_and_to_come_unless_asked(client_of, manager):
    now = timezone.now()
    for title, days in (("Later", 2), ("Sooner", 1), ("Over", -2)):
        RecordingSessionFactory(title=title, starts_at=now + days * DAY)
    client = client_of(manager)

    assert listed(client) == ["Sooner", "Later"]
    assert listed(client, when="past") == ["Over"]
    assert listed(client, when="") == ["Over", "Sooner", "Later"]


def test_list_is_narrowed_by_everything(client_of, manager):
    room, person, unit = RoomFactory(), PersonFactory(bookable=True), UnitFactory()
    project = ProjectFactory(name="Fanfares", artist="Three Bells", client=ClientFactory())
    booked(manager, title="Wanted", project=project, rooms=[room], people=[person], units=[unit])
    booked(manager, title="Other", start=200, end=204, status=Status.CONFIRMED)
    client = client_of(manager)

    for asked in (
        {"q": "want"},
        {"q": "fanfares"},
        {"q": "three bells"},
        {"q": project.client.name},
        {"status": "held"},
        {"room": room.pk},
        {"person": person.pk},
        {"unit": unit.pk},
        {"client": project.client.pk},
        {"project": project.pk},
        {"until": "2026-06-01"},
    ):
        assert listed(client, when="", **asked) == ["Wanted"], asked
    assert listed(client, when="", since="2026-06-02") == ["Other"]
    assert listed(client, when="") == ["Wanted", "Other"]


def test_list_survives_days_that_nobody_means(client_of, manager):
    page = client_of(manager).get(
        reverse("bookings:list"), {"when": "", "until": "9999-12-31", "since": "0001-01-01"}
    )

    assert list(page.context["filter"].form.errors) == ["since", "until"]


def test_list_sorts_by_length_in_real_time(client_of, manager):
    booked(manager, title="Long", end=20)
    booked(manager, title="Short", end=11)
    booked(manager, title="Middle", end=14)

    assert listed(client_of(manager), when="", sort="duration") == ["Short", "Middle", "Long"]
    assert listed(client_of(manager), when="", sort="-duration") == ["Long", "Middle", "Short"]


def test_list_names_the_place_in_line(client_of, manager):
    room = RoomFactory()
    booked(manager, rooms=[room])
    booked(manager, rooms=[room], queue_behind=True)

    page = client_of(manager).get(reverse("bookings:list"), {"when": ""}).text

    assert ("first hold" in page, "second hold" in page, "third hold" in page) == (
        True,
        True,
        False,
    )


def test_mix_engineer_sees_only_sessions_of_their_projects(
    client_of, manager, mix_engineer, mixed_project
):
    """The other session holds the same room, and names that must not leak stand in it."""
    room = RoomFactory(name="Bread Room")
    secret = booked(
        manager,
        title="Secret session",
        rooms=[room],
        people=[PersonFactory(name="Secret person", bookable=True)],
        units=[UnitFactory(asset_tag="QS-SECRET")],
    )
    mine = booked(manager, title="Mine", project=mixed_project, rooms=[room], queue_behind=True)
    client = client_of(mix_engineer)

    pages = [
        client.get(reverse("bookings:list"), {"when": ""}).text,
        client.get(mine.get_absolute_url()).text,
    ]

    assert ["Mine" in page for page in pages] == [True, True]
    for word in ("Secret session", "Secret person", "QS-SECRET", secret.project.client.name):
        assert not any(word in page for page in pages), word
    assert client.get(secret.get_absolute_url()).status_code == 404
    assert "Secret session" in client_of(manager).get(mine.get_absolute_url()).text


@pytest.mark.parametrize("count", [1, 3])
def test_detail_costs_the_same_whatever_it_shows(
    client_of, manager, count, django_assert_num_queries
):
    rooms = [RoomFactory() for _ in range(count)]
    session = booked(manager, rooms=rooms)
    for _ in range(count):
        booked(manager, rooms=rooms, queue_behind=True)
        CreditFactory(session=session)
    client = client_of(manager)
    client.get(session.get_absolute_url())  # the process learns which content types there are

    with django_assert_num_queries(14):
        client.get(session.get_absolute_url())


def test_detail_tells_everything(client_of, manager):
    room = RoomFactory(name="Bread Room")
    first = booked(manager, rooms=[room], title="First", note="Humming radiator")
    second = booked(manager, rooms=[room], title="Second", queue_behind=True)
    set_status(first, to=Status.CANCELLED, by=manager)

    page = client_of(manager).get(second.get_absolute_url()).text
    assert "4 h" in page
    changes = client_of(manager).get(reverse("changes:of", args=["session", second.pk])).text
    assert "Odile Marrack · <strong>Reservation Bread Room</strong>" in changes
    assert "moved up: Rank: second hold → has the time" in changes
    page = client_of(manager).get(first.get_absolute_url()).text
    assert "Humming radiator" in page
    changes = client_of(manager).get(reverse("changes:of", args=["session", first.pk])).text
    assert "has the time → reserves nothing" in changes


def test_detail_offers_the_steps_that_may_follow(client_of, manager):
    session = booked(manager)

    page = client_of(manager).get(session.get_absolute_url())

    assert [step["verb"] for step in page.context["steps"]] == [
        "Confirm",
        "Release the hold",
        "Cancel the session",
    ]
    assert f'href="/sessions/{session.pk}/status/?to=cancelled"' in page.text


def test_detail_offers_no_door_that_is_shut(client_of, manager, mix_engineer, mixed_project):
    session = booked(manager, project=mixed_project)

    page = client_of(mix_engineer).get(session.get_absolute_url()).text

    assert "/status/" not in page
    assert "/edit/" not in page
    assert "/credits/" not in page


def test_seldom_filters_are_folded_away_until_they_narrow_the_list(client_of, manager):
    client, url = client_of(manager), reverse("bookings:list")

    assert '<details class="disclosure">' in client.get(url).text
    assert '<details class="disclosure" open>' in client.get(url, {"since": "2026-06-01"}).text
