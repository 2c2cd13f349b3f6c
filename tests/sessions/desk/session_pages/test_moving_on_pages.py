"""Steps of a session, its credits, and the rooms."""

from datetime import UTC, datetime

import pytest
from django.urls import reverse

from sessions.bookings.models import Credit, RecordingSession, Reservation, Status
from sessions.rooms.models import Room
from tests.factories import (
    CreditFactory,
    PersonFactory,
    ReservationFactory,
    RoomFactory,
)
from tests.sessions.bookings.days import booked

pytestmark = pytest.mark.django_db


# Move on


def test_status_takes_a_step(client_of, engineer, manager):
    session = booked(manager, status=Status.CONFIRMED)

    response = client_of(engineer).post(
        reverse("bookings:status", args=[session.pk]), {"to": "under_way"}
    )

    session.refresh_from_db()
    assert response.url == session.get_absolute_url()
    assert session.status == Status.UNDER_WAY
    assert session.history.first().history_user == engineer


def test_status_asks_before_a_session_starts_where_another_is_under_way(
    client_of, engineer, manager
):
    rooms = [RoomFactory()]
    other = booked(manager, status=Status.CONFIRMED, rooms=rooms, start=6, end=9)
    RecordingSession.objects.filter(pk=other.pk).update(status=Status.UNDER_WAY)
    session = booked(manager, status=Status.CONFIRMED, rooms=rooms)
    web, url = client_of(engineer), reverse("bookings:status", args=[session.pk])
    start = {"to": "under_way", "next": "/today/"}

    asked = web.post(url, start)

    session.refresh_from_db()
    assert (asked.context["back"], len(asked.context["doubts"])) == ("/today/", 1)
    assert session.status == Status.CONFIRMED
    assert web.post(url, start | {"is_sure": "1"}).url == "/today/"
    session.refresh_from_db()
    assert session.status == Status.UNDER_WAY


def test_status_reopened_says_by_whom_and_leads_back(client_of, assistant, manager):
    session = booked(manager, status=Status.CONFIRMED)
    RecordingSession.objects.filter(pk=session.pk).update(status=Status.WRAPPED)
    takes = reverse("takes:session", args=[session.pk])

    answer = client_of(assistant).post(
        reverse("bookings:status", args=[session.pk]), {"to": "under_way", "next": takes}
    )

    step = session.status_steps.latest("at")
    assert (answer.url, step.status, step.by) == (takes, Status.UNDER_WAY, assistant)


@pytest.mark.parametrize("to", [Status.CONFIRMED, Status.CANCELLED, Status.ENQUIRY])
def test_status_of_a_hold_is_settled_by_the_manager_alone(client_of, engineer, manager, to):
    session = booked(manager, status=Status.HELD)
    web = client_of(engineer)

    response = web.post(reverse("bookings:status", args=[session.pk]), {"to": to})

    assert response.status_code == 403
    assert RecordingSession.objects.get().status == Status.HELD
    assert web.get(session.get_absolute_url()).context["steps"] == []


def test_status_at_work_goes_on_and_back_by_the_control_room(client_of, assistant, manager):
    session = booked(manager, status=Status.CONFIRMED)
    web, url = client_of(assistant), reverse("bookings:status", args=[session.pk])

    for to in (Status.UNDER_WAY, Status.WRAPPED, Status.UNDER_WAY, Status.CONFIRMED):
        web.post(url, {"to": to})
        session.refresh_from_db()
        assert session.status == to


def test_status_asks_before_it_gives_time_up(client_of, manager):
    session = booked(manager)
    url = reverse("bookings:status", args=[session.pk])

    page = client_of(manager).get(url, {"to": "cancelled"})

    assert "become free, and holds behind it move up" in page.text
    assert RecordingSession.objects.get().status == Status.HELD
    client_of(manager).post(url, {"to": "cancelled"})
    assert RecordingSession.objects.get().status == Status.CANCELLED
    assert Reservation.objects.get().rank is None


def test_status_warns_of_no_step_that_keeps_the_time(client_of, manager):
    session = booked(manager)

    page = client_of(manager).get(
        reverse("bookings:status", args=[session.pk]), {"to": "confirmed"}
    )

    assert "become free" not in page.text


@pytest.mark.parametrize("to", ["wrapped", "", "lost"])
def test_status_does_not_ask_about_a_step_that_cannot_be(client_of, manager, to):
    session = booked(manager)

    response = client_of(manager).get(reverse("bookings:status", args=[session.pk]), {"to": to})

    assert response.url == session.get_absolute_url()


@pytest.mark.parametrize("to", ["wrapped", "", "<b>lost</b>"])
def test_status_refuses_a_step_that_cannot_be(client_of, manager, to):
    session = booked(manager)

    response = client_of(manager).post(reverse("bookings:status", args=[session.pk]), {"to": to})

    assert "This session is held, so it cannot become" in response.text
    assert "<b>lost" not in response.text
    assert RecordingSession.objects.get().status == Status.HELD


def test_status_says_who_is_in_the_way_and_offers_to_stand_behind(client_of, manager, time_machine):
    time_machine.move_to(datetime(2026, 5, 25, 9, tzinfo=UTC))
    room = RoomFactory(name="Bread Room")
    enquiry = booked(manager, rooms=[room], status=Status.ENQUIRY)
    booked(manager, rooms=[room], title="In the way")
    client, url = client_of(manager), reverse("bookings:status", args=[enquiry.pk])

    page = client.post(url, {"to": "held"}).text

    assert "Bread Room is taken by “In the way”" in page
    assert "Hold behind" in page
    client.post(url, {"to": "held", "queue_behind": "on"})
    enquiry.refresh_from_db()
    assert enquiry.standing == "second hold"


def test_status_does_not_hold_an_enquiry_that_is_over(client_of, manager, time_machine):
    enquiry = booked(manager, status=Status.ENQUIRY)
    time_machine.move_to(datetime(2026, 6, 1, 14, tzinfo=UTC))
    client, url = client_of(manager), reverse("bookings:status", args=[enquiry.pk])

    page = client.post(url, {"to": "held"}).text

    assert "This time is over already. Only a confirmed session may be entered" in page
    enquiry.refresh_from_db()
    assert enquiry.status == Status.ENQUIRY


# Credits


def test_credit_is_added(client_of, assistant, manager):
    session, person = booked(manager), PersonFactory(name="Nell Garrow")

    response = client_of(assistant).post(
        reverse("bookings:credit_create", args=[session.pk]),
        {"person": person.pk, "role": "musician", "instrument": "fiddle"},
    )

    assert response.url == session.get_absolute_url()
    credit = session.credits.get()
    assert (credit.person, credit.role, credit.instrument) == (person, "musician", "fiddle")
    assert credit.history.get().history_user == assistant


def test_credit_given_twice_is_refused_and_stays_typed(client_of, assistant):
    credit = CreditFactory(instrument="fiddle", role="musician")

    response = client_of(assistant).post(
        reverse("bookings:credit_create", args=[credit.session.pk]),
        {"person": credit.person.pk, "role": "musician", "instrument": "fiddle"},
    )

    form = response.context["credit_form"]
    assert form.non_field_errors() == [f"{credit.person} has that credit already."]
    assert form["instrument"].value() == "fiddle"
    assert Credit.objects.get() == credit


def test_credit_without_a_role_is_refused(client_of, assistant):
    credit = CreditFactory()

    response = client_of(assistant).post(
        reverse("bookings:credit_create", args=[credit.session.pk]), {"instrument": "fiddle"}
    )

    assert list(response.context["credit_form"].errors) == ["person", "role"]
    assert 'value="fiddle"' in response.text


def test_credit_is_taken_out(client_of, assistant):
    credit = CreditFactory()

    response = client_of(assistant).post(reverse("bookings:credit_delete", args=[credit.pk]))

    assert response.url == credit.session.get_absolute_url()
    assert not Credit.objects.exists()
    assert Credit.history.filter(history_type="-").get().history_user == assistant


# Rooms


@pytest.mark.parametrize("count", [1, 3])
def test_rooms_cost_the_same_at_any_length(client_of, manager, count, django_assert_num_queries):
    for _ in range(count):
        ReservationFactory()
    client = client_of(manager)

    with django_assert_num_queries(4):
        page = client.get(reverse("rooms:list"))

    assert len(page.context["table"].rows) == count


def test_room_is_put_on_record(client_of, manager):
    client_of(manager).post(reverse("rooms:create"), {"name": "Loft", "note": "Dry"})

    room = Room.objects.get()
    assert (room.name, room.note, room.retired) == ("Loft", "Dry", False)


def test_room_name_is_given_once(client_of, manager):
    RoomFactory(name="Loft")

    response = client_of(manager).post(reverse("rooms:create"), {"name": "Loft"})

    assert response.context["form"].errors == {
        "name": ["That name is taken, perhaps by a retired one: choose another."]
    }


def test_room_is_retired(client_of, manager):
    room = RoomFactory(name="Loft")
    url = reverse("rooms:edit", args=[room.pk])
    seen = client_of(manager).get(url).context["seen"]

    response = client_of(manager).post(url, {"name": "Loft", "retired": "on", "seen": seen})

    room.refresh_from_db()
    assert (response.url, room.retired) == (reverse("rooms:list"), True)
