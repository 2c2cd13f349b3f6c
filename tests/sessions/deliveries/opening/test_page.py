"""The recipient's page: what opens it, what is counted, and what a link that ended still says."""

from datetime import timedelta

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from sessions.deliverables.models import DeliverableFile, FileState
from sessions.deliveries.actions import send as send_delivery
from sessions.deliveries.actions import withdraw
from sessions.deliveries.opening import opinions
from sessions.deliveries.rules import Recipient
from sessions.letters.models import Letter
from sessions.links.models import WRONG_GUESSES
from tests.factories import (
    DeliverableFactory,
    DeliverableFileFactory,
    LightCopyFactory,
    MixNoteFactory,
)

pytestmark = pytest.mark.django_db
BYTES = b"RIFF"


@pytest.fixture
def sent(engineer, rough_mix, song):
    """`sent(**facts)`: a delivery to Hesper, and the address of her link."""
    engineer.email = "ulric@quay-steps.example"
    engineer.save()

    def make(**facts):
        delivery, addresses = send_delivery(
            song,
            deliverables=[rough_mix],
            recipients=[Recipient("Hesper Dunnage", "hesper@tholes.example")],
            expires_at=timezone.now() + timedelta(days=14),
            address_of=lambda token: reverse("deliveries:open", args=[token]),
            by=engineer,
            **facts,
        )
        return delivery, *addresses.values()

    return make


@pytest.mark.parametrize("rows", [1, 3])
def test_page_costs_the_same_for_many(client, engineer, song, rows, django_assert_num_queries):
    mixes = [DeliverableFactory(song=song, version=10 + row) for row in range(rows)]
    for mix in mixes:
        file = DeliverableFileFactory(deliverable=mix, integrated_lufs=-18.0, true_peak_dbtp=-3.0)
        LightCopyFactory(source=file)
        MixNoteFactory(deliverable=mix)
    _, addresses = send_delivery(
        song,
        deliverables=mixes,
        recipients=[Recipient("Hesper Dunnage", "hesper@tholes.example")],
        expires_at=timezone.now() + timedelta(days=14),
        address_of=lambda token: reverse("deliveries:open", args=[token]),
        by=engineer,
    )
    [address] = addresses.values()
    client.post(address)

    # SQLite is told not to wait with the note of the visit, and to wait again.
    with django_assert_num_queries(19 if connection.vendor == "sqlite" else 17):
        page = client.get(address)

    assert len(page.context["files"]) == rows
    assert ("data-match" in page.text) is (rows > 1), "versions are matched in loudness here, too"


def events(delivery):
    (recipient,) = delivery.recipients.all()
    return [event.kind for event in recipient.events.all()]


def file_of(address, delivery):
    return f"{address}files/{delivery.files().get().pk}/"


def test_artist_opens_listens_downloads_and_confirms(client, sent):
    delivery, address = sent()
    door = client.get(address)

    inside = client.post(address, follow=True)
    file = file_of(address, delivery)
    listened = client.get(f"{file}?listen", HTTP_RANGE="bytes=0-1")
    b"".join(client.get(f"{file}?listen", HTTP_RANGE="bytes=2-3"))
    downloaded = client.get(file)
    client.post(f"{address}received/", {"name": "Hesper"})
    client.post(f"{address}received/", {"name": "Hesper"})

    assert [used.name for used in door.templates][0].endswith("door.html")
    assert [each.original_name for each in inside.context["files"]] == ["rough_v2.wav"]
    assert b"".join(listened) == BYTES[:2]
    assert b"".join(downloaded) == BYTES
    assert "attachment" in downloaded["Content-Disposition"]
    assert events(delivery) == ["opened", "listened", "downloaded", "received"]
    answered = Letter.objects.filter(kind="delivery_answered")
    assert [letter.to for letter in answered] == ["ulric@quay-steps.example"]


def test_program_that_scans_mail_opens_counts_and_gets_nothing(client, sent):
    delivery, address = sent()

    answers = [
        client.get(address),
        client.head(address),
        client.get(file_of(address, delivery)),
        client.post(f"{address}received/", {"name": "Scanner"}),
    ]

    assert [answer.status_code for answer in answers] == [200, 200, 302, 302]
    assert {answers[2].url, answers[3].url} == {address}
    assert events(delivery) == []


@pytest.mark.parametrize(
    ("header", "counted"), [("bytes=0-", ["opened", "downloaded"]), ("bytes=2-", ["opened"])]
)
def test_download_that_goes_on_is_not_another(client, sent, header, counted):
    delivery, address = sent()
    client.post(address)

    b"".join(client.get(file_of(address, delivery), HTTP_RANGE=header))

    assert events(delivery) == counted


def test_page_keeps_to_itself_in_every_cache_and_search(client, sent):
    delivery, address = sent()

    for answer in (client.get(address), client.post(address, follow=True)):
        assert answer["Cache-Control"] == "private, no-store"
        assert answer["X-Robots-Tag"] == "noindex"
        assert answer["Referrer-Policy"] == "strict-origin"


def test_password_opens_and_guesses_are_throttled(client, sent):
    delivery, address = sent(password="kelp and rope")

    guesses = [client.post(address, {"password": "kelp"}) for _ in range(WRONG_GUESSES)]
    throttled = client.post(address, {"password": "kelp and rope"})
    with time_machine.travel(timezone.now() + timedelta(minutes=16)):
        opened = client.post(address, {"password": "kelp and rope"})

    assert {answer.status_code for answer in guesses} == {200}
    assert (throttled.status_code, opened.status_code) == (429, 302)
    assert "rough_v2" not in guesses[0].content.decode()
    assert "Neap and Spring" not in guesses[0].content.decode()
    assert events(delivery) == ["opened"]


def test_only_what_was_sent_is_there(client, sent, rough_mix):
    delivery, address = sent()
    client.post(address)
    others = DeliverableFileFactory()
    with time_machine.travel(timezone.now() + timedelta(minutes=1)):
        later = DeliverableFileFactory(deliverable=rough_mix)

    answers = [client.get(f"{address}files/{file.pk}/") for file in (others, later)]

    assert [answer.status_code for answer in answers] == [404, 404]


def test_link_gives_nothing_of_another_delivery(client, sent, engineer, song):
    other = DeliverableFileFactory(deliverable=DeliverableFactory(song=song, version=3))
    LightCopyFactory(source=other)
    delivery, address = sent()
    recipients = [Recipient("Ludo Tranter", "ludo@cornet.example")]
    _, addresses = send_delivery(
        song,
        deliverables=[other.deliverable],
        recipients=recipients,
        expires_at=delivery.expires_at,
        address_of=lambda token: reverse("deliveries:open", args=[token]),
        by=engineer,
    )
    (ludos,) = addresses.values()
    client.post(address)

    answers = [client.get(f"{address}files/{other.pk}/{how}") for how in ("", "?listen=light")]
    not_opened = client.get(f"{ludos}files/{other.pk}/")

    assert [answer.status_code for answer in answers] == [404, 404]
    assert (not_opened.status_code, not_opened.url) == (302, ludos)


def test_visit_ends_after_half_a_day(client, sent):
    delivery, address = sent()
    client.post(address)

    with time_machine.travel(timezone.now() + timedelta(hours=12, minutes=1)):
        answer = client.get(file_of(address, delivery))

    assert (answer.status_code, answer.url) == (302, address)


def test_what_was_on_its_way_to_the_record_was_not_sent(client, sent, rough_mix):
    delivery, address = sent()
    client.post(address)
    waiting = DeliverableFileFactory(
        deliverable=rough_mix, state=FileState.REFUSED, file="", refusal="Cut short."
    )
    DeliverableFile.objects.filter(pk=waiting.pk).update(uploaded_at=delivery.sent_at)

    assert client.get(f"{address}files/{waiting.pk}/").status_code == 404


def test_notes_of_other_mixes_are_not_to_be_written(client, sent, song):
    _, address = sent()
    client.post(address)
    other = DeliverableFactory(song=song, version=3)

    for page in ("note", "verdict"):
        assert client.post(f"{address}mixes/{other.pk}/{page}/", {}).status_code == 404


def test_recipient_says_no_more_than_so_much_a_day(client, sent, rough_mix, monkeypatch):
    monkeypatch.setattr(opinions, "MOST_A_DAY", 2)
    delivery, address = sent()
    client.post(address)
    note = {"text": "Horns up", "said_by": "Hesper"}

    for text in ("Horns up", "Horns up", "Horns down", "Horns out"):
        answer = client.post(f"{address}mixes/{rough_mix.pk}/note/", note | {"text": text})

    assert [each.text for each in rough_mix.mix_notes.all()] == ["Horns up", "Horns down"]
    (refused,) = [each["note"] for each in answer.context["opinions"]]
    assert (list(refused.errors), refused["text"].value()) == (["__all__"], "Horns out")
    assert events(delivery) == ["opened", "noted", "noted"]


def test_open_pressed_twice_is_one_visit(client, sent):
    delivery, address = sent()

    answers = [client.post(address) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [302, 302]
    assert events(delivery) == ["opened"]


def end_withdrawn(delivery):
    withdraw(delivery, why="Wrong song", tell=False, by=delivery.sent_by)


def end_expired(delivery):
    links = delivery.recipients.get().links
    links.update(expires_at=timezone.now())


def end_replaced(delivery):
    delivery.recipients.get().links.get().revoke(timezone.now())


@pytest.mark.parametrize(
    ("end", "why"),
    [(end_withdrawn, "withdrawn"), (end_expired, "expired"), (end_replaced, "replaced")],
)
def test_link_that_ended_gives_nothing_and_says_whom_to_ask(client, sent, end, why):
    delivery, address = sent()
    client.post(address)
    end(delivery)

    answers = [client.get(address), client.get(file_of(address, delivery)), client.post(address)]

    assert [answer.status_code for answer in answers] == [410, 410, 410]
    assert answers[0].context["why"] == why
    text = answers[0].content.decode()
    assert "Neap and Spring" not in text
    assert "Ulric Yarrell at Quay Steps Studio" in text
    assert "mailto:studio@localhost" in text


def test_link_that_never_was_is_not_there(client, db):
    assert client.get(reverse("deliveries:open", args=["moored"])).status_code == 404


def test_house_that_looks_is_not_counted(client_of, assistant, sent):
    delivery, address = sent()
    web = client_of(assistant)

    inside = web.post(address, follow=True)
    b"".join(web.get(file_of(address, delivery)))
    web.post(f"{address}received/", {"name": "Piran"})

    assert inside.context["is_counted"] is False
    assert events(delivery) == []


def test_house_is_told_that_nothing_it_says_here_is_kept(client_of, assistant, sent, rough_mix):
    delivery, address = sent()
    web = client_of(assistant)
    web.post(address)

    page = web.post(
        f"{address}mixes/{rough_mix.pk}/note/", {"text": "Horn late", "said_by": "Piran"}
    )

    (opinion,) = page.context["opinions"]
    assert opinion["note"].errors
    assert opinion["note"]["text"].value() == "Horn late"
    assert not rough_mix.mix_notes.exists()


def test_recipient_who_signs_in_from_outside_is_heard(client_of, mix_engineer, sent, rough_mix):
    delivery, address = sent()
    web = client_of(mix_engineer)
    web.post(address)

    web.post(f"{address}mixes/{rough_mix.pk}/note/", {"text": "Horn late", "said_by": "Kerensa"})

    assert rough_mix.mix_notes.get().text == "Horn late"
    assert events(delivery) == ["opened", "noted"]


def test_browser_that_sends_the_form_is_believed(sent):
    """The page's policy keeps its address from others, and must not keep the origin from us."""
    delivery, address = sent()
    strict = Client(enforce_csrf_checks=True)
    token = strict.get(address).context["csrf_token"]

    answer = strict.post(
        address, {"csrfmiddlewaretoken": f"{token}"}, HTTP_ORIGIN="http://testserver"
    )

    assert answer.status_code == 302
