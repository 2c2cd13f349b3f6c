"""An engineer sends a rough mix from its page; who may be sent what; withdrawing; a new link."""

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from sessions.deliverables.models import DeliverableKind, FileState
from sessions.deliveries.models import Delivery, DeliveryLink
from sessions.editing.presses import FIELD, new_number
from sessions.letters.models import Letter
from tests.factories import DeliverableFactory, DeliverableFileFactory, PersonFactory

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _letters_leave(django_capture_on_commit_callbacks):
    """As they do once a page is answered."""
    with django_capture_on_commit_callbacks(execute=True):
        yield


def links(delivery):
    return DeliveryLink.objects.filter(recipient__delivery=delivery)


def test_rough_mix_is_sent_by_two_presses_on_its_form(send, engineer, hesper, ludo, rough_mix):
    answer = send(engineer, to=[hesper, ludo], message="Brass pair is up.")

    delivery = Delivery.objects.get()
    assert answer.url == delivery.get_absolute_url()
    assert list(delivery.deliverables.all()) == [rough_mix]
    assert [(each.name, each.email) for each in delivery.recipients.all()] == [
        ("Hesper Dunnage", "hesper@tholes.example"),
        ("Ludo Tranter", "ludo@cornet.example"),
    ]
    assert (delivery.message, delivery.password) == ("Brass pair is up.", "")
    assert (delivery.expires_at - timezone.now()).days == 14
    assert links(delivery).count() == 2


def test_those_of_last_time_are_ticked(client_of, send, engineer, hesper, ludo, rough_mix):
    send(engineer, to=[ludo])

    form = client_of(engineer).get(reverse("deliveries:send", args=[rough_mix.pk])).context["form"]

    assert form["recipients"].value() == [f"{ludo.pk}"]


def test_pressed_twice_is_sent_once(send, engineer, hesper):
    number = {FIELD: new_number()}

    answers = [send(engineer, to=[hesper], **number) for _ in range(2)]

    assert answers[0].url == answers[1].url
    assert Delivery.objects.count() == 1


def test_address_is_shown_once_and_kept_nowhere(send, engineer, hesper):
    answer = send(engineer, to=[hesper])

    web = answer.client
    shown, again = web.get(answer.url), web.get(answer.url)

    ((name, address),) = shown.context["addresses"]
    token = address.rstrip("/").rsplit("/", 1)[1]
    assert (name, again.context["addresses"]) == ("Hesper Dunnage", ())
    assert shown["Cache-Control"] == "no-store"
    assert token not in str(list(DeliveryLink.objects.values()))


def test_letter_that_was_sent_keeps_no_address(
    send, engineer, hesper, address_in_letter, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        send(engineer, to=[hesper])

    address = address_in_letter("hesper@tholes.example")
    letter = Letter.objects.get()
    assert letter.state == "sent"
    assert address not in letter.text + letter.secret
    assert len(mail.outbox) == 1


def test_engineer_sends_to_approved_recipients_only(client_of, send, engineer, manager, hesper):
    stranger = {"name": "Ivo Sallow", "email": "ivo@bell-yard.example"}

    send(engineer, to=[hesper], **stranger)
    send(manager, to=[], **stranger)

    sent = [list(each.recipients.values_list("name", flat=True)) for each in Delivery.objects.all()]
    assert sent == [["Ivo Sallow"], ["Hesper Dunnage"]]


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"recipients": []}, "recipients"),
        ({"until": "2020-01-01"}, "until"),
        ({"until": "2090-01-01"}, "until"),
        ({"until": ""}, "until"),
        ({"deliverables": []}, "deliverables"),
    ],
)
def test_refusal_stands_beside_the_field(send, engineer, hesper, typed, field):
    page = send(engineer, **({"to": [hesper], "message": "Kept"} | typed))

    form = page.context["form"]
    assert list(form.errors) == [field]
    assert form["message"].value() == "Kept"
    assert not Delivery.objects.exists()


@pytest.mark.parametrize("state", [FileState.WAITING, FileState.MEASURING, FileState.REFUSED])
def test_what_is_not_measured_is_not_sent(send, engineer, hesper, rough_mix, state):
    rough_mix.files.update(state=state)

    page = send(engineer, to=[hesper])

    assert list(page.context["form"].errors) == ["deliverables"]
    assert not Delivery.objects.exists()


def test_what_was_refused_while_the_form_was_sent_is_not_sent(
    send, engineer, hesper, rough_mix, monkeypatch
):
    rough_mix.files.update(state=FileState.REFUSED)
    monkeypatch.setattr("sessions.deliveries.forms.why_not_ready", lambda deliverable: "")

    page = send(engineer, to=[hesper])

    [[said]] = page.context["form"].errors.values()
    assert "was refused. Upload it again." in said
    assert not Delivery.objects.exists()


def test_multitrack_goes_to_the_client_only(send, engineer, hesper, ludo, song):
    multitrack = DeliverableFactory(song=song, kind=DeliverableKind.MULTITRACK)
    DeliverableFileFactory(deliverable=multitrack)

    refused = send(engineer, to=[hesper, ludo], deliverables=[multitrack.pk])
    sent = send(engineer, to=[hesper], deliverables=[multitrack.pk])

    assert list(refused.context["form"].errors) == ["recipients"]
    assert sent.url == Delivery.objects.get().get_absolute_url()


def test_withdrawn_delivery_tells_and_opens_nothing(client_of, client, send, engineer, hesper):
    send(engineer, to=[hesper])
    delivery = Delivery.objects.get()

    client_of(engineer).post(
        reverse("deliveries:withdraw", args=[delivery.pk]), {"why": "Wrong song", "tell": "on"}
    )

    delivery.refresh_from_db()
    assert (delivery.state, delivery.withdrawn_by) == ("withdrawn", engineer)
    assert not links(delivery).standing(timezone.now())
    assert [each.kind for each in Letter.objects.all()] == ["delivery_withdrawn", "delivery_sent"]
    assert "Wrong song" in Letter.objects.first().text


def test_new_link_revokes_the_old_one(client_of, send, engineer, hesper, ludo):
    send(engineer, to=[hesper, ludo])
    delivery = Delivery.objects.get()
    first = delivery.recipients.first()

    client_of(engineer).post(
        reverse("deliveries:send_again", args=[first.pk]), {"until": timezone.localdate()}
    )

    assert links(delivery).count() == 3
    assert links(delivery).standing(timezone.now()).count() == 2
    assert first.links.first().expires_at < delivery.expires_at
    until = date_format(timezone.localtime(first.links.first().expires_at), "DATETIME_FORMAT")
    assert f"until {until}:" in Letter.objects.first().text


def test_new_link_for_somebody_who_left_the_list_is_the_managers(
    client_of, send, engineer, manager, hesper
):
    send(engineer, to=[hesper])
    hesper.delete()
    delivery = Delivery.objects.get()
    address = reverse("deliveries:send_again", args=[delivery.recipients.get().pk])

    made = []
    for by in (engineer, manager):
        client_of(by).post(address, {"until": timezone.localdate()})
        made.append(links(delivery).count())

    assert made == [1, 2]


def test_multitrack_gets_no_new_link_once_its_recipient_is_not_the_clients(
    client_of, send, manager, hesper, song
):
    multitrack = DeliverableFactory(song=song, kind=DeliverableKind.MULTITRACK)
    DeliverableFileFactory(deliverable=multitrack)
    send(manager, to=[hesper], deliverables=[multitrack.pk])
    hesper.person.client = None
    hesper.person.save()
    recipient = Delivery.objects.get().recipients.get()

    page = client_of(manager).post(
        reverse("deliveries:send_again", args=[recipient.pk]), {"until": timezone.localdate()}
    )

    assert list(page.context["form"].errors) == ["__all__"]


def test_manager_keeps_the_list(client_of, manager, hesper, song):
    web = client_of(manager)
    listed = reverse("deliveries:project", args=[song.project_id])
    ivo = PersonFactory(name="Ivo Sallow", email="ivo@bell-yard.example")

    web.post(reverse("deliveries:approve", args=[song.project_id]), {"person": ivo.pk})
    web.post(reverse("deliveries:disapprove", args=[hesper.pk]))

    assert [str(each) for each in web.get(listed).context["approved"]] == ["Ivo Sallow"]


def test_queries_of_the_list_do_not_grow(
    client_of, send, manager, hesper, ludo, song, django_assert_num_queries
):
    listed = reverse("deliveries:project", args=[song.project_id])
    send(manager, to=[hesper])
    web = client_of(manager)
    web.get(listed)

    for count in (1, 3):
        with django_assert_num_queries(9):
            web.get(listed)
        if count == 1:
            send(manager, to=[hesper, ludo])
            send(manager, to=[ludo])
