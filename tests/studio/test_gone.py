"""What is answered where nothing can be saved, on a database that refuses for real; Retry-After as in RFC 9110,
section 10.2.3."""

import errno
import re
from contextlib import contextmanager
from threading import Thread

import pytest
from django.db import Error, connection, transaction
from django.test import RequestFactory
from django.urls import reverse
from lxml import html

from sessions.clients.models import Client as House
from sessions.editing.presses import FIELD, new_number
from sessions.letters.models import Letter, LetterState
from sessions.letters.sending import send
from sessions.unavailable import Unavailable
from studio.gone import error_page
from studio.writers import Places, WritersMiddleware
from tests.factories import LetterFactory, LetterFileFactory

ODDEST = '\r\n  Cordage & <b>\r\nSons "’𝄞 \r\n'


@contextmanager
def read_only():
    """The database takes nothing, for as long as the block lasts."""
    sqlite = connection.vendor == "sqlite"
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("PRAGMA query_only = 1" if sqlite else "SET TRANSACTION READ ONLY")
        try:
            yield
        finally:
            if sqlite:
                cursor.execute("PRAGMA query_only = 0")
            transaction.set_rollback(True)


@pytest.fixture
def lenient(client_of, manager):
    client = client_of(manager)
    client.raise_request_exception = False
    return client


def test_what_was_typed_is_sent_again_by_one_press_and_counts_once(lenient):
    address = reverse("clients:create")
    sent = {FIELD: new_number(), "name": "Hawser & Sons", "notes": ODDEST, "contacts": ["a", "b"]}
    with read_only():
        refused = lenient.post(address, sent)
    again = sent_by_a_browser(refused, address)

    assert (refused.status_code, refused["Retry-After"]) == (503, "10")
    assert "can only be read" in refused.content.decode()
    assert again == {name: [text] for name, text in sent.items()} | {"contacts": ["a", "b"]}
    assert not House.objects.filter(name="Hawser & Sons").exists()
    answers = [lenient.post(address, form) for form in (again, sent)]
    assert [answer.status_code for answer in answers] == [302, 302]
    assert House.objects.filter(name="Hawser & Sons").count() == 1


def sent_by_a_browser(page, address) -> dict[str, list[str]]:
    """By the page's only form, as the HTML standard has it (4.10.5.4, 4.10.22.4): of a text area the first
    line break is left out, and every one is sent as CR LF."""
    [form] = html.fromstring(page.content).forms
    assert (form.method, form.action) == ("POST", address)
    sent = {}
    for area in form.iter("textarea"):
        text = re.sub("\r\n?", "\n", area.text_content()).removeprefix("\n")
        sent.setdefault(area.name, []).append(text.replace("\n", "\r\n"))
    return sent


def test_page_that_is_read_is_shown_while_nothing_can_be_written(lenient):
    with read_only():
        assert lenient.get(reverse("clients:list")).status_code == 200


def test_secret_is_not_put_on_a_page(client, manager):
    client.raise_request_exception = False
    with read_only():
        refused = client.post(
            reverse("login"), {"username": "odile", "password": "nine-steps-to-oakum"}
        )

    assert refused.status_code == 503
    assert "nine-steps-to-oakum" not in refused.content.decode()
    assert "Go back in the browser" in refused.content.decode()


def test_disk_that_is_full_is_said_so(lenient, monkeypatch):
    def full(*_, **__):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("studio.theme.redirect", full)
    answer = lenient.post(reverse("theme"), {"theme": "dark", "next": "/"})

    assert answer.status_code == 503
    assert "is full" in answer.content.decode()


def test_page_says_so_without_the_database(lenient, monkeypatch, django_assert_num_queries):
    monkeypatch.setattr("studio.gone.unavailable", lambda error: Unavailable.AWAY)
    request = RequestFactory().get("/songs/?page=2")
    request.id = "1"
    with django_assert_num_queries(0):
        page = error_page(request)

    assert b'href="/songs/?page=2"' in page.content


def test_letter_waits_where_its_file_cannot_be_made_for_want_of_a_database(db, mailoutbox):
    letter = LetterFactory()
    LetterFileFactory(letter=letter, content=b"", made_by=f"{__name__}.made_nowhere", made_of=1)

    with pytest.raises(Error):
        send(Letter.objects.all())

    letter.refresh_from_db()
    assert (letter.state, letter.error, mailoutbox) == (LetterState.WAITING, "", [])


def made_nowhere(key):
    with read_only(), transaction.atomic():
        House.objects.create(name="Hawser & Sons")


# --- who waits to write ---------------------------------------------------------------------------


def test_writer_waits_while_others_come_to_their_end():
    places = Places(1, none_moved=30)
    places.take()
    waiting = Thread(target=places.take)
    waiting.start()

    assert waiting.is_alive()
    places.give_back()
    waiting.join(30)
    assert not waiting.is_alive()


def test_writer_is_refused_where_none_comes_to_an_end():
    places = Places(2, none_moved=0.05)

    assert [places.take() for _ in range(3)] == [True, True, False]


def test_readers_are_served_while_all_places_are_taken(rf, settings):
    settings.WRITERS_AT_ONCE = 1
    served = []

    def get_response(request):
        if request.method == "POST" and not served:
            middleware.places.none_moved = 0.05
            served.extend(middleware(ask(rf, method)) for method in ("get", "head", "post"))
        return request.method

    middleware = WritersMiddleware(get_response)
    assert middleware(ask(rf, "post")) == "POST"
    assert served[:2] == ["GET", "HEAD"]
    assert served[2].status_code == 503
    assert middleware(ask(rf, "post")) == "POST"  # the place was given back


def ask(rf, method):
    request = getattr(rf, method)("/")
    request.id = "1"
    return request
