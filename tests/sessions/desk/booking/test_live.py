"""What stands beside the form while it is filled in."""

import json
from datetime import UTC, datetime, time
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from sessions.bookings.models import RecordingSession, Status
from sessions.money.wanted import price_of_wanted
from sessions.rooms.models import Weekday
from sessions.terms.agreements.models import Agreement
from tests.factories import (
    BlockFactory,
    GearSetFactory,
    PersonFactory,
    ProjectFactory,
    RateCardFactory,
    RateFactory,
    ReservationFactory,
    RoomFactory,
    UnitFactory,
    WeeklyHoursFactory,
)
from tests.sessions.bookings.days import booked, hours

pytestmark = pytest.mark.django_db
URL = "/sessions/new/live/"


@pytest.fixture(autouse=True)
def _a_week_before(time_machine):
    time_machine.move_to(datetime(2026, 5, 25, 9, tzinfo=UTC))


@pytest.fixture
def bread_room():
    return RoomFactory(name="Bread Room")


@pytest.fixture
def asked(bread_room):
    """11:00 to 15:00 in London on the first of June, as the form sends it."""
    return {
        "project": ProjectFactory().pk,
        "starts_at": "2026-06-01T11:00",
        "ends_at": "2026-06-01T15:00",
        "status": "held",
        "rooms": [bread_room.pk],
    }


def live_of(client, asked):
    return client.get(URL, asked).context["live"]


def test_says_of_everything_whether_it_is_free(client_of, manager, asked, bread_room):
    """Of a room, a person and two units; each by another reason."""
    loft = RoomFactory(name="Loft")
    fiddler = PersonFactory(bookable=True)
    away = PersonFactory(bookable=True)
    WeeklyHoursFactory(room=loft, opens=time(14))
    WeeklyHoursFactory(room=None, person=fiddler, weekday=Weekday.TUESDAY)
    taken, free = UnitFactory(), UnitFactory()
    booked(manager, start=13, end=15, units=[taken], rooms=[RoomFactory(name="Cellar")])
    leave = BlockFactory(title="Summer leave", kind="leave")
    ReservationFactory(
        session=None,
        block=leave,
        room=None,
        person=away,
        starts_at=leave.starts_at,
        ends_at=leave.ends_at,
    )

    page = client_of(manager).get(URL, asked)

    states = page.context["live"].states
    assert states["rooms"][str(loft.pk)] == ("closed", "Monday 14:00 to 22:00")
    assert str(bread_room.pk) not in states["rooms"]
    assert states["people"] == {
        str(fiddler.pk): ("off", "not on Monday"),
        str(away.pk): ("taken", "“Summer leave”, leave"),
    }
    assert states["units"] == {str(taken.pk): ("taken", "“Overdubs”, first hold")}
    assert str(free.pk) not in states["units"]
    assert json.dumps(states)[1:20] in page.text.replace("&quot;", '"')
    assert page.context["live"].said == "All of it is free then."
    assert RecordingSession.objects.count() == 1  # a question saves nothing


def test_touching_ends_are_free_and_padding_is_not(client_of, manager, asked, bread_room):
    booked(manager, start=14, end=16, rooms=[bread_room])  # 15:00 in London

    assert live_of(client_of(manager), asked).clashes == []
    late = live_of(client_of(manager), asked | {"teardown_minutes": "15"})
    assert [str(each) for each in late.clashes] == [
        f"Bread Room is taken by “Overdubs” ({late.clashes[0].by.project}, "
        f"{late.clashes[0].by.client}), first hold: Mon 1 Jun 2026, 15:00 to 15:15."
    ]


def test_what_one_session_has_stands_in_one_sentence(client_of, manager, asked, bread_room):
    ulric = PersonFactory(name="Ulric Yarrell", bookable=True)
    other = booked(manager, rooms=[bread_room], people=[ulric])

    live = live_of(client_of(manager), asked | {"people": [ulric.pk]})

    assert live.in_the_way == [
        f"Bread Room and Ulric Yarrell are taken by “Overdubs” ({other.project}, "
        f"{other.project.client}), first hold: Mon 1 Jun 2026, 11:00 to 15:00."
    ]


def test_a_clash_is_said_with_other_ways_and_a_second_hold(client_of, manager, asked, bread_room):
    RoomFactory(name="Rope Floor")
    booked(manager, rooms=[bread_room])

    page = client_of(manager).get(URL, asked)

    assert "1 of 1 is taken then." in page.text
    assert "Rope Floor is free then: use it instead of Bread Room." in page.text
    assert "Everything is free later: Mon 1 Jun 2026, 15:00 to 19:00." in page.text
    assert 'value="queue_behind=on&amp;status=held"' in page.text
    behind = client_of(manager).get(URL, asked | {"queue_behind": "on"})
    assert behind.context["live"].refusal is None
    assert behind.context["live"].may_queue is False


def test_a_second_hold_is_taken_in_one_press_without_scripts(client_of, manager, asked, bread_room):
    booked(manager, rooms=[bread_room])
    url, take = reverse("bookings:create"), "queue_behind=on&status=held"

    page = client_of(manager).post(
        url, asked | {"title": "Vocals", "status": "confirmed", "take": take}
    )

    form = page.context["form"]
    assert (form["status"].value(), form["queue_behind"].value()) == ("held", True)


def test_its_own_time_is_not_in_the_way_of_what_is_edited(client_of, manager, asked, bread_room):
    session = booked(manager, rooms=[bread_room])
    asked |= {"session": session.pk, "ends_at": "2026-06-01T16:00"}

    assert live_of(client_of(manager), asked).said == "All of it is free then."


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"ends_at": ""}, "Choose when it starts and ends: what is free then shows here."),
        ({"ends_at": "2026-06-01T10:00"}, "The end must be after the start."),
        ({"ends_at": "soon", "starts_at": "x"}, "Enter a day and a time"),
        ({"rooms": []}, "Choose at least one room."),
        ({"rooms": ["0"], "units": ["x"], "project": "y"}, "Choose at least one room."),
    ],
)
def test_says_what_is_missing_of_a_form_half_filled(client_of, manager, asked, typed, said):
    page = client_of(manager).get(URL, asked | typed)

    assert page.status_code == 200
    assert page.context["live"].said.startswith(said)


def test_time_outside_hours_brings_its_tick(client_of, manager, asked, bread_room):
    WeeklyHoursFactory(room=bread_room, opens=time(12))

    page = client_of(manager).get(URL, asked)

    assert "Free, but outside its hours." in page.text
    assert 'name="all_the_same"' in page.text
    ticked = client_of(manager).get(URL, asked | {"all_the_same": "on"})
    assert 'name="all_the_same" id="id_all_the_same" checked' in ticked.text
    assert client_of(manager).get(URL, asked | {"lockout": "on"}).context["live"].outside == []


def test_price_is_what_it_would_cost(client_of, manager, asked, bread_room):
    card = RateCardFactory()
    RateFactory(card=card, room=bread_room, amount=Decimal("61.50"))
    assert "No price: no rate card is agreed" in client_of(manager).get(URL, asked).text
    Agreement.objects.create(rate_card=card)

    page = client_of(manager).get(URL, asked)

    starts_at, ends_at = hours(10, 14)
    price = price_of_wanted(None, starts_at=starts_at, ends_at=ends_at, rooms=[bread_room])
    shown = page.context["live"].price
    assert shown.price == price
    assert price.net > 0
    assert f'<strong class="mono">{price.total:,.2f} {card.currency}</strong>' in page.text


def test_as_last_time_fills_in_rooms_people_gear_and_length(client_of, manager, asked, bread_room):
    loft, unit = RoomFactory(name="Loft"), UnitFactory()
    ulric = PersonFactory(name="Ulric Yarrell", bookable=True)
    project = ProjectFactory()
    last = booked(manager, project=project, end=16, rooms=[loft], people=[ulric], units=[unit])
    RecordingSession.objects.filter(
        pk=booked(manager, start=18, end=20, project=project).pk
    ).update(status=Status.CANCELLED)
    other = ProjectFactory(client=project.client)
    asked |= {"project": other.pk, "starts_at": "2026-06-03T11:00", "ends_at": ""}

    last_time = live_of(client_of(manager), asked).last_time

    assert last_time.sentence == f"Loft, Ulric Yarrell, 1 unit, 6 h (“{last}”)."
    url = reverse("bookings:create")
    form = client_of(manager).post(url, asked | {"take": last_time.take}).context["form"]
    assert form["rooms"].value() == [str(loft.pk)]
    assert form["people"].value() == [str(ulric.pk)]
    assert form["units"].value() == [str(unit.pk)]
    assert form["ends_at"].value() == "2026-06-03T17:00"


def test_a_gear_set_adds_what_can_be_booked(client_of, manager, asked):
    own, first, second = UnitFactory(), UnitFactory(), UnitFactory()
    bench = UnitFactory(state="on_the_bench")
    GearSetFactory(name="Piano in stereo", units=[first, second, bench])
    GearSetFactory(name="Gone", units=[first], retired=True)
    asked |= {"units": [own.pk, first.pk]}

    [offer] = live_of(client_of(manager), asked).gear_sets

    assert offer.sentence == (
        f"Piano in stereo: {second.asset_tag} (without {bench.asset_tag}: not in service)."
    )
    url = reverse("bookings:create")
    form = client_of(manager).post(url, asked | {"take": offer.take}).context["form"]
    assert form["units"].value() == [str(own.pk), str(first.pk), str(second.pk)]


@pytest.mark.parametrize("number", [1, 3])
def test_costs_the_same_whatever_there_is(client_of, manager, asked, bread_room, number):
    """A clash of each kind, with alternatives, price, a last time and gear sets."""
    project = ProjectFactory()
    Agreement.objects.create(rate_card=RateFactory(room=bread_room).card)
    people = [PersonFactory(bookable=True, does="Fiddle") for _ in range(number)]
    units = [UnitFactory() for _ in range(number)]
    rooms = [bread_room, *(RoomFactory() for _ in range(number - 1))]
    for room in rooms:
        booked(manager, rooms=[room], project=project)
        RoomFactory(), PersonFactory(bookable=True, does="Fiddle"), UnitFactory()
        GearSetFactory(units=[UnitFactory()])
    booked(manager, rooms=[RoomFactory()], people=people, units=units)
    chosen = {"rooms": rooms, "people": people, "units": units}
    asked |= {"project": project.pk} | {
        name: [each.pk for each in those] for name, those in chosen.items()
    }
    client = client_of(manager)
    client.get(URL, asked)  # what is asked once for all pages

    with CaptureQueriesContext(connection) as queries:
        live = live_of(client, asked)

    assert len(live.clashes) == 3 * number
    assert len(live.gear_sets) == number
    assert len(queries) == QUERIES


QUERIES = 32


def test_who_is_missing_already_is_not_in_the_way(client_of, manager, asked, bread_room):
    piran = PersonFactory(bookable=True)
    session = booked(manager, rooms=[bread_room], people=[piran])
    session.reservations.filter(person=piran).update(rank=None, missing=True)
    ReservationFactory(
        session=None,
        block=BlockFactory(kind="leave"),
        room=None,
        person=piran,
        rank=1,
        starts_at=session.starts_at,
        ends_at=session.ends_at,
    )

    live = live_of(client_of(manager), asked | {"session": session.pk, "people": [piran.pk]})

    assert (live.clashes, live.refusal) == ([], None)
    assert live.said == f"Free, but still missing: {piran}."
