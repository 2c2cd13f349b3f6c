"""The day's end: a rough mix is sent, heard on a telephone, answered, counted and withdrawn."""

import re

import pytest
from django.core import mail

from sessions.deliverables.listening.models import MixNote, Verdict
from sessions.deliveries.models import Delivery
from tests.browser.forms import fill_in, follow, press, sees, tick
from tests.factories import (
    ApprovedRecipientFactory,
    DeliverableFactory,
    DeliverableFileFactory,
    SectionFactory,
)
from tests.signals import encode, stereo, tone

pytestmark = pytest.mark.browser
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
MOST_TAPS = 5  # from the mix that was printed to a file until it is sent


@pytest.fixture
def rough_mix(real_database, tmp_path):
    path = encode(tmp_path / "rough.mp3", stereo(tone(2, -20)), "libmp3lame")
    mix = DeliverableFactory(song__title="Neap and Spring", version=3)
    SectionFactory(song=mix.song, name="Refrain")
    ApprovedRecipientFactory(
        project=mix.song.project, name="Hesper Dunnage", email="hesper@tidewater.example"
    )
    DeliverableFileFactory(
        deliverable=mix,
        original_name="WF_NeapAndSpring_Rough_V3.mp3",
        file__data=path.read_bytes(),
        container="mp3",
        size_bytes=path.stat().st_size,
        sha256="a" * 64,
    )
    return mix


def test_rough_mix_is_sent_heard_answered_and_withdrawn(
    page_of, new_page, engineer, rough_mix, tmp_path
):
    desk = page_of(engineer.username)
    desk.goto(rough_mix.get_absolute_url())
    taps = 2  # the file chosen, and Upload
    follow(desk, "Send")
    tick(desk, "Hesper Dunnage, hesper@tidewater.example")
    press(desk, "Send")
    taps += 3
    sees(desk, "Rough mix 3 of “Neap and Spring” sent.")
    assert taps <= MOST_TAPS
    (letter,) = mail.outbox
    address = re.search(r"http://\S+/d/\S+", letter.body)[0]

    phone = new_page(**PHONE)
    phone.goto(address)
    press(phone, "Open")
    phone.locator("audio").evaluate("player => player.play()")
    phone.wait_for_function("document.querySelector('audio').currentTime > 0")
    assert phone.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    with phone.expect_download() as download:
        phone.get_by_role("link", name="Download WF_NeapAndSpring_Rough_V3.mp3").click()
    (file,) = rough_mix.files.all()
    assert download.value.path().stat().st_size == file.size_bytes
    fill_in(phone, {"Note": "Cornet is late here.", "Time": "0:01.5"})
    press(phone, "Send note")
    tick(phone, "Changes wanted")
    press(phone, "Send answer")
    press(phone, "Received")
    sees(phone, "Confirmed by Hesper Dunnage")

    desk.reload()
    (recipient,) = Delivery.objects.get().recipients.all()
    counted = [event.kind for event in recipient.events.all()]
    assert counted == ["opened", "listened", "downloaded", "noted", "changes", "received"]
    sees(desk, "Cornet is late here.", "Changes wanted", "WF_NeapAndSpring_Rough_V3.mp3")
    assert MixNote.objects.get().seconds == 1.5
    assert Verdict.objects.get().said_by == "Hesper Dunnage"

    follow(desk, "Withdraw")
    press(desk, "Withdraw")
    sees(desk, "withdrawn: its links no longer open.")
    ended = phone.context.request.get(address)
    assert ended.status == 410
    assert f"Ask {engineer} at Quay Steps Studio" in ended.text()
