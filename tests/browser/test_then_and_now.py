"""The sound of a chain, then and now: measured by the engineer while it is set up, and by the mix engineer who sets
it up again. What comes back is the test file itself, as through a cable, and once 1.5 dB softer."""

import wave

import numpy as np
import pytest

from sessions.recall.models import Tick
from sessions.recall.proving.models import Measurement
from sessions.recall.proving.running import read_return
from tests.browser.forms import press, sees
from tests.sessions.recall.rebuilds.vocal import started
from tests.sessions.recall.then_and_now.measured import measured_vocal

pytestmark = pytest.mark.browser


def measured(page, folder, *, softer_db: float = 0.0) -> None:
    """Confirm each caution, take the file, and send back what it came to; the worker reads it at once."""
    for box in page.get_by_role("checkbox").all():
        box.check()
    press(page, "Make the test file")
    page.wait_for_url("**/measurements/*/")
    with page.expect_download() as taken:
        page.get_by_role("link", name="Test file").click()
    played, back = folder / "played.wav", folder / "return.wav"
    taken.value.save_as(played)
    _turned_down(played, back, softer_db)
    page.get_by_label("Recording of the return").set_input_files(back)
    press(page, "Upload and read it")
    sees(page.locator("#measurement"), "is being read")
    read_return.func(Measurement.objects.latest("pk").pk)


def _turned_down(played, back, by_db: float) -> None:
    with wave.open(str(played)) as file:
        facts, data = file.getparams(), file.readframes(file.getnframes())
    whole = np.frombuffer(data, "u1").reshape(-1, 3)
    samples = np.pad(whole, ((0, 0), (1, 0))).reshape(-1).view("<i4") >> 8
    softer = np.round(samples * 10 ** (-by_db / 20)).astype("<i4")
    with wave.open(str(back), "wb") as file:
        file.setparams(facts)
        file.writeframes(softer.view("u1").reshape(-1, 4)[:, :3].tobytes())


def test_what_the_engineer_measured_is_put_right_by_the_mix_engineer(
    real_database, page_of, engineer, mix_engineer, tmp_path
):
    revision = measured_vocal(points=())
    page = page_of(engineer.username)
    page.goto(f"/chains/{revision.chain_id}/sound/")
    sees(page.locator("main"), "Logged as on at Hobweir Stile 1 (P-01)")
    measured(page, tmp_path)
    then = Measurement.objects.get()
    assert (then.state, then.revision) == ("done", revision), then.refusal

    rebuild = started(revision, engineer)
    rebuild.song.project.mix_engineers.add(mix_engineer.person)
    page = page_of(mix_engineer.username)
    page.goto(rebuild.get_absolute_url())
    page.get_by_role("link", name="Then and now").click()
    page.get_by_role("link", name="Alto voice → Ld Vox").click()
    sees(page.locator("main"), "Not measured on this rebuild yet.")
    chain = page.url
    page.get_by_role("link", name="Measure now").click()
    measured(page, tmp_path, softer_db=1.5)

    page.goto(chain)
    sees(page.locator("main"), "1.5 dB low.")
    way = page.locator(".way").first
    sees(way, "Gain of Hobweir Stile 1 (P-01): from 35 dB to 36.5 dB")
    way.get_by_role("button", name="This is turned: log it").click()
    sees(page.locator("main"), "now measure again")
    assert Tick.objects.get().value == 36.5
    page.get_by_role("link", name="Measure again").click()
    measured(page, tmp_path)

    page.goto(chain)
    sees(page.locator("main"), "Agrees within 0.5 dB.", "Gain of Hobweir Stile 1 (P-01) to 36.5 dB")
