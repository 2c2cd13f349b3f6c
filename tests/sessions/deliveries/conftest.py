"""A rough mix of the Four's that is ready to be sent, and two whom it may be sent to."""

import re

import pytest
from django.core import mail
from django.urls import reverse

from tests.factories import (
    ApprovedRecipientFactory,
    DeliverableFactory,
    DeliverableFileFactory,
    PersonFactory,
    SongFactory,
)


@pytest.fixture
def song():
    return SongFactory(title="Neap and Spring", project__client__name="Thole & Ledger")


@pytest.fixture
def rough_mix(song):
    mix = DeliverableFactory(song=song, version=2)
    DeliverableFileFactory(deliverable=mix, original_name="rough_v2.wav", sha256="a" * 64)
    return mix


@pytest.fixture
def hesper(song):
    """Of the client's people."""
    person = PersonFactory(
        name="Hesper Dunnage", email="hesper@tholes.example", client=song.project.client
    )
    return ApprovedRecipientFactory(project=song.project, person=person, name="", email="")


@pytest.fixture
def ludo(song):
    return ApprovedRecipientFactory(
        project=song.project, name="Ludo Tranter", email="ludo@cornet.example"
    )


@pytest.fixture
def send(client_of, rough_mix):
    """`send(by, to=[…], **typed)` fills in the form as the page offers it, and presses Send."""

    def press(by, to=(), **typed):
        address = reverse("deliveries:send", args=[rough_mix.pk])
        web = client_of(by)
        offered = web.get(address).context["form"]
        sent = {field.name: field.value() for field in offered if field.value()}
        sent |= {"recipients": [each.pk for each in to]} | typed
        return web.post(address, dict(sorted(sent.items())))

    return press


@pytest.fixture
def address_in_letter():
    """The path of the link in the last e-mail to that address."""

    def find(to):
        (body,) = [each.body for each in mail.outbox if each.to == [to]][-1:]
        return re.search(r"https?://[^/]+(/d/\S+)", body)[1]

    return find
