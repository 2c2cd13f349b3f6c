"""The day's end: a rough mix is sent, heard on a telephone, answered, counted and withdrawn."""

import re

import pytest
from django.core import mail
from django.urls import reverse

from sessions.deliverables.listening.models import MixNote, Verdict
from sessions.deliverables.measured import measure
from sessions.deliverables.models import DeliverableFile
from sessions.deliveries.models import Delivery
from tests.browser.forms import fill_in, follow, press, sees, tick
from tests.factories import (
    ApprovedRecipientFactory,
    SectionFactory,
    SongFactory,
)
from tests.signals import encode, stereo, tone

pytestmark = pytest.mark.browser
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
MOST_TAPS = 5  # from the mix that was printed to a file until it is sent


NAME = "WF_NeapAndSpring_Rough_V1.mp3"


@pytest.fixture
def song(real_database):
    song = SongFactory(title="Neap and Spring")
    SectionFactory(song=song, name="Refrain")
    ApprovedRecipientFactory(
        project=song.project, name="Hesper Dunnage", email="hesper@tidewater.example"
    )
    return song


@pytest.fixture
def printed(tmp_path, settings):
    """The rough mix as the engineer printed it to a file."""
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path / "incoming"
    settings.FILE_UPLOAD_TEMP_DIR.mkdir()
    return encode(tmp_path / NAME, stereo(tone(2, -20)), "libmp3lame")


def test_rough_mix_is_sent_heard_answered_and_withdrawn(page_of, new_page, engineer, song, printed):
    desk = page_of(engineer.username)
    desk.goto(reverse("deliverables:upload", args=[song.pk]))
    taps = []
    desk.get_by_label("Files").set_input_files(printed)
    taps.append("the file")
    press(desk, "Upload")
    taps.append("Upload")
    desk.wait_for_url(re.compile(r"/deliverables/\d+/$"))
    file = DeliverableFile.objects.get()
    measure.call(file.pk)  # as the worker does, and the page notices by itself
    desk.get_by_role("heading", name="Format").wait_for()
    follow(desk, "Send")
    taps.append("Send")
    tick(desk, "Hesper Dunnage, hesper@tidewater.example")
    taps.append("to whom")
    press(desk, "Send")
    taps.append("Send")
    sees(desk, "Rough mix 1 of “Neap and Spring” sent.")
    assert len(taps) <= MOST_TAPS
    (letter,) = mail.outbox
    address = re.search(r"http://\S+/d/\S+", letter.body)[0]

    phone = new_page(**PHONE)
    phone.goto(address)
    press(phone, "Open")
    phone.locator("audio").evaluate(
        "player => new Promise(heard => {"
        " player.addEventListener('timeupdate', () => player.currentTime > 0 && heard());"
        " player.play(); })"
    )
    assert phone.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    with phone.expect_download() as download:
        phone.get_by_role("link", name=f"Download {NAME}").click()
    assert download.value.path().read_bytes() == printed.read_bytes()
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
    sees(desk, "Cornet is late here.", "Changes wanted", NAME)
    assert MixNote.objects.get().seconds == 1.5
    assert Verdict.objects.get().said_by == "Hesper Dunnage"

    follow(desk, "Withdraw")
    press(desk, "Withdraw")
    sees(desk, "withdrawn: its links no longer open.")
    ended = phone.context.request.get(address)
    assert ended.status == 410
    assert f"Ask {engineer} at Quay Steps Studio" in ended.text()
