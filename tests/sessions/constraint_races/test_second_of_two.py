"""Two people saving at once: whoever meets a constraint of the database is answered in words."""

import threading
import time

import pytest
from django.db import connection, transaction
from django.forms import BaseForm
from django.urls import reverse
from django.utils.timezone import localtime

from sessions.bookings.models import RecordingSession, Status
from sessions.editing.presses import FIELD
from sessions.takes.models import Mark, TakePart
from tests.factories import (
    ProjectFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    TakeFactory,
)
from tests.sessions.bookings.days import hours
from tests.sessions.constraint_races.cases import MET, MET_ON_POSTGRESQL, OTHERWISE


@pytest.fixture
def somebody_else(monkeypatch):
    """`somebody_else(save)`: saves in the moment after a form was found valid, once."""
    is_valid = BaseForm.is_valid

    def saves(save):
        waiting = [save]

        def valid_and_late(form):
            valid = is_valid(form)
            if valid and waiting:
                waiting.pop()()
            return valid

        monkeypatch.setattr(BaseForm, "is_valid", valid_and_late)
        return waiting

    return saves


@pytest.mark.django_db
@pytest.mark.parametrize("case", [*MET.values(), *OTHERWISE])
def test_second_of_two_is_answered_beside_the_field(client_of, manager, somebody_else, case):
    """A form without a number, whose view looks before any transaction."""
    (address, typed), save, sentence = case()
    waiting = somebody_else(save)

    answer = client_of(manager).post(address, typed | {FIELD: ""})

    assert waiting == []
    assert answer.status_code in (200, 422)
    [[said]] = answer.context["form"].errors.values()
    assert sentence in said


@pytest.fixture
def post_while_others_save(client_of, manager):
    """`post(save, address, typed)`: posts a form while what `save` wrote is not committed yet, so
    that PostgreSQL lets it wait and then refuses it."""

    def post(save, address, typed):
        client, answers = client_of(manager), []

        def ask():
            try:
                answers.append(client.post(address, typed))
            finally:
                connection.close()

        asking = threading.Thread(target=ask)
        with transaction.atomic():
            save()
            asking.start()
            wait_until_somebody_waits()
        asking.join(timeout=10)
        [answer] = answers
        return answer

    return post


@pytest.mark.postgres
@pytest.mark.parametrize("case", [*MET.values(), *OTHERWISE, *MET_ON_POSTGRESQL.values()])
def test_second_of_two_who_had_to_wait_is_answered_beside_the_field(
    on_postgresql, real_database, post_while_others_save, case
):
    (address, typed), save, sentence = case()

    answer = post_while_others_save(save, address, typed)

    [[said]] = answer.context["form"].errors.values()
    assert sentence in said


@pytest.mark.postgres
def test_master_that_somebody_marked_in_the_same_moment_becomes_a_hold(
    on_postgresql, real_database, post_while_others_save
):
    take = TakeFactory()
    part = take.take_parts.get()
    theirs = TakeFactory(part=part.part, session=take.session, number=2)

    answer = post_while_others_save(
        lambda: theirs.take_parts.update(mark=Mark.MASTER),
        reverse("takes:press", args=[take.session_id]),
        {"take": take.pk, "mark": Mark.MASTER, "seen": f"{part.pk}.{part.version}"},
    )

    assert answer.status_code == 302
    marks = dict(TakePart.objects.values_list("take", "mark"))
    assert marks == {take.pk: Mark.MASTER, theirs.pk: Mark.HOLD}


@pytest.mark.postgres
def test_room_that_somebody_took_in_the_same_moment_is_named(
    on_postgresql, real_database, post_while_others_save
):
    """Somebody who asks no rule of ours: two of our own queue for the room's row."""
    room, project = RoomFactory(name="Bread Room"), ProjectFactory()
    starts_at, ends_at = hours(10, 14)

    answer = post_while_others_save(
        lambda: ReservationFactory(
            session=RecordingSessionFactory(title="First", starts_at=starts_at), room=room
        ),
        reverse("bookings:create"),
        {
            "project": project.pk,
            "title": "Too late",
            "starts_at": f"{localtime(starts_at):%Y-%m-%dT%H:%M}",
            "ends_at": f"{localtime(ends_at):%Y-%m-%dT%H:%M}",
            "status": Status.CONFIRMED,
            "rooms": [room.pk],
            "all_the_same": "on",
        },
    )

    [said] = answer.context["form"].errors["rooms"]
    assert said.startswith("Bread Room is taken by “First”")
    assert RecordingSession.objects.get().title == "First"


def wait_until_somebody_waits():
    waiting = (
        "SELECT COUNT(*) FROM pg_stat_activity "
        "WHERE wait_event_type = 'Lock' AND datname = current_database()"
    )
    until = time.monotonic() + 10
    while time.monotonic() < until:
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_stat_clear_snapshot()")
            cursor.execute(waiting)
            if cursor.fetchone() != (0,):
                return
        time.sleep(0.05)
    pytest.fail("nobody waited for the constraint")
