from datetime import timedelta
from hashlib import sha256

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.http import http_date
from icalendar import Calendar

from sessions.calendar.feeds.models import FeedAddress
from tests.factories import (
    FeedAddressFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def room():
    return RoomFactory(name="Rope Floor")


@pytest.fixture
def address(room, manager):
    _, token = FeedAddress.make(by=manager, room=room)
    return reverse("feeds:calendar", args=[token])


def session_tomorrow(room, **facts):
    starts_at = timezone.now().replace(microsecond=0) + timedelta(days=1)
    session = RecordingSessionFactory(starts_at=starts_at, **facts)
    return ReservationFactory(session=session, room=room)


def test_feed_is_read_without_signing_in(client, address, room):
    session_tomorrow(room, title="Spoken verses")

    answer = client.get(address)

    assert answer.status_code == 200
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    (event,) = Calendar.from_ical(answer.content).events
    assert event["summary"].startswith("Spoken verses")
    assert answer.cookies == {}
    assert answer["Cache-Control"] == "private, no-cache"


def test_unknown_revoked_and_misspelt_addresses_are_not_there(client, address, room):
    feed = FeedAddress.objects.get()
    feed.revoke(timezone.now())

    answers = {
        client.get(asked).status_code
        for asked in (
            address,
            reverse("feeds:calendar", args=["unknown"]),
            reverse("feeds:calendar", args=[feed.token_hash]),  # what is stored opens nothing
            reverse("feeds:calendar", args=["%00'--"]),
        )
    }

    assert answers == {404}


def test_nothing_is_posted_to_a_feed(client, address):
    assert client.post(address).status_code == 405


def test_program_that_has_the_newest_is_told_so(client, address, room):
    session_tomorrow(room)
    first = client.get(address)

    again = client.get(address, headers={"If-None-Match": first["ETag"]})
    since = client.get(address, headers={"If-Modified-Since": first["Last-Modified"]})

    assert (again.status_code, again.content, again["ETag"]) == (304, b"", first["ETag"])
    assert since.status_code == 304


def test_changed_feed_is_sent_again(client, address, room):
    reservation = session_tomorrow(room)
    first = client.get(address)
    reservation.session.title = "Brass"
    reservation.session.save()

    again = client.get(address, headers={"If-None-Match": first["ETag"]})
    since = client.get(
        address,
        headers={"If-Modified-Since": http_date(timezone.now().timestamp() - 3600 * 24)},
    )

    assert again.status_code == since.status_code == 200
    assert again["ETag"] != first["ETag"]


def test_feed_stops_after_its_last_day(client_of, client, manager, room, time_machine_to):
    last_day = timezone.localdate() + timedelta(days=2)
    sent = {"of": f"room-{room.pk}", "until": last_day.isoformat()}
    address = client_of(manager).post(reverse("feeds:create"), sent, follow=True).context["address"]
    expires_at = FeedAddress.objects.get().expires_at

    with time_machine_to(expires_at - timedelta(seconds=1)):
        assert client.get(address).status_code == 200
    with time_machine_to(expires_at):
        assert client.get(address).status_code == 404
        assert "expired" in client_of(manager).get(reverse("feeds:list")).text
    assert timezone.localtime(expires_at).date() == last_day + timedelta(days=1)


@pytest.mark.parametrize("day", ["2020-01-01", "9999-12-31"])
def test_last_day_that_can_not_be_is_refused_beside_the_field(client_of, manager, room, day):
    page = client_of(manager).post(reverse("feeds:create"), {"of": f"room-{room.pk}", "until": day})

    assert list(page.context["form"].errors) == ["until"]
    assert not FeedAddress.objects.exists()


def test_manager_makes_a_feed_and_sees_its_address_once(client_of, client, manager, room):
    page = client_of(manager).post(reverse("feeds:create"), {"of": f"room-{room.pk}"}, follow=True)

    address = page.context["address"]
    token = address.rsplit("/", 1)[1].removesuffix(".ics")
    assert address in page.content.decode()
    assert page["Cache-Control"] == "no-store"
    assert FeedAddress.objects.get().token_hash == sha256(token.encode()).hexdigest()
    assert client.get(address).status_code == 200
    again = client_of(manager).get(reverse("feeds:list"))
    assert token not in again.content.decode()


def test_manager_makes_a_feed_of_the_whole_house(client_of, client, manager, room):
    session_tomorrow(room, title="Spoken verses")
    page = client_of(manager).post(reverse("feeds:create"), {"of": "house"}, follow=True)

    assert "Feed of the whole house created." in page.text
    (event,) = Calendar.from_ical(client.get(page.context["address"]).content).events
    assert event["summary"].startswith("Spoken verses")
    feed = FeedAddress.objects.get()
    client_of(manager).post(reverse("feeds:revoke", args=[feed.pk]))
    assert client.get(page.context["address"]).status_code == 404


def test_nothing_chosen_is_said_beside_the_field(client_of, manager, room):
    page = client_of(manager).post(reverse("feeds:create"), {"of": ""})

    assert "Choose a room, a person or the whole house." in page.content.decode()
    assert FeedAddress.objects.count() == 0


def test_one_makes_a_feed_of_oneself_and_of_nobody_else(client_of, mix_engineer, room):
    other = PersonFactory(bookable=True)
    for refused in (f"room-{room.pk}", f"person-{other.pk}", "person-x", "song-1", "room", "house"):
        client_of(mix_engineer).post(reverse("feeds:create"), {"of": refused})
        assert FeedAddress.objects.count() == 0

    client_of(mix_engineer).post(
        reverse("feeds:create"), {"of": f"person-{mix_engineer.person.pk}"}
    )

    assert FeedAddress.objects.get().person == mix_engineer.person


def test_who_is_no_person_is_told_what_to_do(client_of, engineer):
    page = client_of(engineer).get(reverse("feeds:list")).content.decode()

    assert "You are not listed under People" in page


def test_revoking_is_asked_about_and_done(client_of, client, manager, address):
    feed = FeedAddress.objects.get()
    revoke = reverse("feeds:revoke", args=[feed.pk])

    assert "Revoke this feed?" in client_of(manager).get(revoke).content.decode()
    assert client.get(address).status_code == 200
    page = client_of(manager).post(revoke, follow=True).content.decode()

    assert "Feed of Rope Floor revoked" in page
    assert client.get(address).status_code == 404


def test_feed_of_another_is_not_there_to_revoke(client_of, mix_engineer):
    other = FeedAddressFactory()
    own = FeedAddressFactory(person=mix_engineer.person)

    answers = [
        client_of(mix_engineer).post(reverse("feeds:revoke", args=[feed.pk])).status_code
        for feed in (other, own)
    ]

    assert answers == [404, 302]


@pytest.mark.parametrize("rows", [1, 3])
def test_list_costs_the_same_queries_for_any_number_of_rows(
    client_of, manager, rows, django_assert_num_queries
):
    client = client_of(manager)
    FeedAddressFactory.create_batch(rows)

    with django_assert_num_queries(6):
        client.get(reverse("feeds:list"))
