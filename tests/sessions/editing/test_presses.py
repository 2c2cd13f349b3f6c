"""Pressed once, happens once."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.clients.models import Client as House
from sessions.editing.presses import FIELD, KEPT, Press, new_number
from sessions.takes.models import Take, TakePart
from tests.factories import PartFactory, RecordingSessionFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def take():
    """The address to log a take at, and what the page sends."""
    part = PartFactory()
    session = RecordingSessionFactory(project=part.song.project)
    address = reverse("takes:press", args=[session.pk])
    return address, {
        "song": part.song_id,
        "part": part.pk,
        "kind": "whole",
        "what": "over",
        "mark": "complete",
        FIELD: new_number(),
    }


def said(page) -> list[str]:
    return [str(message) for message in page.context["messages"]]


def test_repeat_gets_the_first_answer(client_of, assistant, take):
    client = client_of(assistant)

    first, second = client.post(*take), client.post(*take)

    assert (second.status_code, second.url) == (302, first.url)
    assert Take.objects.count() == 1


def test_repeat_says_once_what_the_first_answer_said(client_of, assistant, take):
    client = client_of(assistant)
    client.post(*take)
    page = client.get(client.post(*take).url)
    assert len(said(page)) == 1

    again = client.get(client.post(*take).url)

    assert said(again) == said(page)


def test_another_number_is_another_press(client_of, assistant, take):
    address, sent = take
    client = client_of(assistant)
    client.post(address, sent)

    client.post(address, sent | {FIELD: new_number()})

    assert Take.objects.count() == 2


def test_other_content_is_another_press(client_of, assistant, take):
    """Back to the page as it was, and something else typed: nothing typed is lost."""
    address, sent = take
    client = client_of(assistant)
    client.post(address, sent)

    client.post(address, sent | {"mark": "hold"})

    assert sorted(TakePart.objects.values_list("mark", flat=True)) == ["complete", "hold"]


def test_number_of_somebody_else_is_another_press(client_of, assistant, engineer, take):
    client_of(assistant).post(*take)

    client_of(engineer).post(*take)

    assert Take.objects.count() == 2


def test_form_that_was_refused_may_be_sent_again(client_of, manager):
    house, client = House(name="Ninth Tide"), client_of(manager)
    sent = {"name": house.name, FIELD: new_number()}
    house.save()
    assert client.post(reverse("clients:create"), sent).status_code == 200
    House.objects.all().delete()

    assert client.post(reverse("clients:create"), sent).status_code == 302

    assert House.objects.get().name == "Ninth Tide"


def test_page_that_failed_keeps_nothing_and_may_be_sent_again(
    client_of, assistant, take, monkeypatch
):
    client = client_of(assistant)
    with monkeypatch.context() as broken:
        broken.setattr("sessions.takes.tracking.views.way_back", lambda *asked: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            client.post(*take)
    assert (Take.objects.count(), Press.objects.count()) == (0, 0)

    client.post(*take)

    assert Take.objects.count() == 1


def test_number_of_nobody_is_not_looked_at(client):
    answer = client.post(reverse("login"), {"username": "", "password": "", FIELD: "1"})

    assert answer.status_code == 200
    assert not Press.objects.exists()


def test_old_presses_are_forgotten(client_of, assistant, take):
    client_of(assistant).post(*take)
    now = timezone.now()

    assert Press.objects.forget_old(now) == 0
    assert Press.objects.forget_old(now + KEPT + timedelta(seconds=1)) == 1
