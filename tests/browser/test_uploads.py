"""Files go up in a real browser: several at once, through a reload in the middle."""

import re

import numpy as np
import pytest
from django.urls import reverse

from sessions.deliverables.models import Deliverable, DeliverableFile
from sessions.deliverables.uploads.models import Upload
from tests.factories import SongFactory
from tests.signals import noise, stereo, write_wav

pytestmark = pytest.mark.browser


def test_two_files_go_up_together_through_a_reload(page_of, engineer, tmp_path, settings, watch):
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path / "incoming"
    settings.FILE_UPLOAD_TEMP_DIR.mkdir()
    song = SongFactory()
    files = [
        write_wav(tmp_path / name, stereo(np.tile(noise(1, -20, seed=seed), 6)))
        for seed, name in enumerate(("cornet.wav", "piano.wav"))
    ]
    page = page_of("ulric")
    page.goto(reverse("deliverables:upload", args=[song.pk]))
    page.route("**/uploads/*/", _let_through(first=2))  # and then the network is gone
    page.get_by_label("Kind").select_option("stems")
    page.get_by_label("Files").set_input_files(files)
    page.get_by_role("button", name="Upload", exact=True).click()
    page.get_by_text("goes on by itself").first.wait_for()

    page.unroute_all()
    page.on("dialog", lambda dialog: dialog.accept())
    page.reload()
    assert page.locator("[data-unfinished]").count() == 2
    offset = max(Upload.objects.values_list("offset", flat=True))
    page.get_by_label("Files").set_input_files(files)
    page.get_by_text("goes on at").first.wait_for()
    page.get_by_role("button", name="Upload", exact=True).click()
    page.wait_for_url(re.compile(r"/deliverables/\d+/$"))
    watch.seen[:] = [each for each in watch.seen if "ERR_FAILED" not in each]  # the cut

    assert offset > 0
    deliverable = Deliverable.objects.get()
    assert (deliverable.kind, deliverable.files.count()) == ("stems", 2)
    for file, path in zip(DeliverableFile.objects.order_by("pk"), files, strict=True):
        assert (file.original_name, file.file.read()) == (path.name, path.read_bytes())
        file.file.close()


def _let_through(first: int):
    seen = []

    def handle(route):
        if route.request.method == "PATCH":
            seen.append(route)
        if len(seen) > first:
            route.abort()
        else:
            route.continue_()

    return handle
