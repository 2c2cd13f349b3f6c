"""A folder of recordings is dropped on the page of a session: headers go over the wire, no sound."""

import os

import pytest
from django.urls import reverse

from sessions.takes.models import TakeFile
from tests.factories import PartFactory, RecordingSessionFactory, TakeFactory
from tests.sessions.takes.files.written import bext, ixml, rf64, wav

pytestmark = pytest.mark.browser
NOTES = bext(date="2026-06-01", time="11:00:00", samples=39_600 * 48_000)
SPARSE_BYTES = 5 << 30  # of sound that nobody wrote, so that it takes no room


def dropped(page, target, path) -> None:
    """As from the desktop, with the mouse."""
    box = target.bounding_box()
    place = {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}
    data = {"items": [], "files": [str(path)], "dragOperationsMask": 1}
    devtools = page.context.new_cdp_session(page)
    for step in ("dragEnter", "dragOver", "drop"):
        devtools.send("Input.dispatchDragEvent", {"type": step, "data": data, **place})
    devtools.detach()


def test_folder_is_dropped_confirmed_and_linked(page_of, engineer, real_database, tmp_path):
    """Two takes' files, one of 5 GiB with its iXML behind the sound; and a text."""
    part = PartFactory(name="Cornet")
    session = RecordingSessionFactory(project=part.song.project)
    take = TakeFactory(part=part, session=session, number=1)
    long = TakeFactory(part=part, session=session, number=2, started_at=None)
    (tmp_path / "day 1" / "reel 2").mkdir(parents=True)
    (tmp_path / "day 1" / "notes.txt").write_text("not sound")
    (tmp_path / "day 1" / "Cornet.wav").write_bytes(wav(NOTES, ixml(TAKE="1")))
    with (tmp_path / "day 1" / "reel 2" / "Cornet_T2.wav").open("wb") as file:
        head, behind = rf64(ixml(SCENE="long")), ixml(TAKE="2")
        sizes = head.index(b"ds64") + 16
        start = head.index(b"data") + 8
        file.write(head[:sizes] + SPARSE_BYTES.to_bytes(8, "little") + head[sizes + 8 : start])
        file.seek(SPARSE_BYTES, os.SEEK_CUR)
        file.write(behind)
    page = page_of(engineer.username)
    sent = []
    page.on("request", lambda request: sent.append(request) if request.method == "POST" else None)

    page.goto(reverse("take_files:session", args=[session.pk]))
    dropped(page, page.locator("[data-file-drop]"), tmp_path / "day 1")
    page.get_by_role("heading", name="Waiting for confirmation: 2").wait_for()

    assert int(sent[0].all_headers()["content-length"]) < 10_000
    first, second = TakeFile.objects.order_by("path")
    assert (first.path, first.time_stamp) == ("day 1/Cornet.wav", "11:00:00")
    assert (second.path, second.ixml["scene"]) == ("day 1/reel 2/Cornet_T2.wav", "long")
    assert (second.container, second.frames) == ("rf64", SPARSE_BYTES // 3)

    page.get_by_label("Take of Cornet_T2.wav").select_option(f"{long.pk}.{part.pk}")
    page.get_by_role("button", name="Link", exact=True).click()
    page.get_by_role("button", name="Undo the link of Cornet.wav").wait_for()

    linked = {file.name: file.take for file in TakeFile.objects.select_related("take")}
    assert linked == {"Cornet.wav": take, "Cornet_T2.wav": long}
