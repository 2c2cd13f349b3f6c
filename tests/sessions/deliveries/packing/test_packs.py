"""A pack as somebody downloads it: unpacked, summed, read, and the same each time."""

import csv
import io
import json
import shutil
import subprocess
import zipfile
from datetime import timedelta
from hashlib import sha256

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.deliveries.actions import send
from sessions.deliveries.models import Paper
from sessions.deliveries.rules import Recipient
from sessions.papers.stored.making import bring_up_to_date
from sessions.papers.stored.models import StoredPaper
from sessions.tasks.models import Worker
from tests.factories import DeliverableFactory, DeliverableFileFactory, TakeFactory
from tests.printed import leads_out, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def stems(song):
    stems = DeliverableFactory(song=song, kind="stems", version=1)
    for name, content in [("Cornet.wav", b"RIFF c"), ("cornet.WAV", b"RIFF d"), ("=1+2.wav", b"x")]:
        DeliverableFileFactory(
            deliverable=stems,
            true_peak_dbtp=-3.5,
            original_name=name,
            file__data=content,
            size_bytes=len(content),
            sha256=sha256(content).hexdigest(),
        )
    return stems


def got(web, address):
    answer = web.get(address)
    content = b"".join(answer.streaming_content)
    assert int(answer["Content-Length"]) == len(content)
    return content


def test_pack_unpacks_and_sums_and_is_the_same_again(
    client_of, mix_engineer, stems, song, tmp_path
):
    song.project.mix_engineers.add(mix_engineer.person)
    TakeFactory(part__song=song)
    web, address = client_of(mix_engineer), reverse("deliveries:song_pack", args=[song.pk])

    content, again = got(web, address), got(web, address)

    assert sha256(content).digest() == sha256(again).digest()
    zipfile.ZipFile(io.BytesIO(content)).extractall(tmp_path / "unpacked")
    (folder,) = (tmp_path / "unpacked").iterdir()
    assert folder.name == "Neap and Spring"
    there = sorted(f"{path.relative_to(folder)}" for path in folder.rglob("*") if path.is_file())
    assert [name for name in there if not name.startswith("Papers/")] == [
        "SHA256SUMS",
        "Stems 1/=1+2.wav",
        "Stems 1/Cornet.wav",
        "Stems 1/cornet (2).WAV",
        "manifest.csv",
        "manifest.json",
    ]
    assert [name for name in there if name.startswith("Papers/")] == [
        "Papers/Recall sheet, Neap and Spring.pdf",
        next(name for name in there if name.startswith("Papers/Session report, ")),
        "Papers/Take sheet, Neap and Spring.pdf",
    ]
    subprocess.run(
        [shutil.which("sha256sum"), "--strict", "-c", "SHA256SUMS"], cwd=folder, check=True
    )
    summed = (folder / "SHA256SUMS").read_text().splitlines()
    assert len(summed) == len(there) - 1


def test_manifests_say_what_was_measured(client_of, engineer, stems):
    content = got(client_of(engineer), reverse("deliveries:pack", args=[stems.pk]))

    pack = zipfile.ZipFile(io.BytesIO(content))
    folder = "Neap and Spring, Stems 1/"
    rows = list(csv.DictReader(io.StringIO(pack.read(f"{folder}manifest.csv").decode("utf-8-sig"))))
    facts = json.loads(pack.read(f"{folder}manifest.json"))
    assert [row["original_name"] for row in rows] == ["'=1+2.wav", "Cornet.wav", "cornet.WAV"]
    assert {row["sample_rate"] for row in rows} == {"48000"}
    assert {row["true_peak_dbtp"] for row in rows} == {"-3.5"}  # no apostrophe: not text
    assert [file["path"] for file in facts["files"]] == [row["path"] for row in rows]
    assert {file["deliverable"] for file in facts["files"]} == {"Stems 1"}
    assert all(file["checks"] for file in facts["files"])


def test_papers_are_made_by_the_worker_first(client_of, engineer, stems, song):
    TakeFactory(part__song=song)
    Worker.objects.sign("quay")
    web, address = client_of(engineer), reverse("deliveries:pack", args=[stems.pk])

    waits = web.get(address)
    for paper in StoredPaper.objects.all():
        bring_up_to_date.call(paper.pk)
    ready = web.get(f"{address}?{waits.context['again']}")

    assert waits.status_code == 202
    assert ready["Content-Type"] == "application/zip"
    assert b"".join(ready.streaming_content).startswith(b"PK")


def test_recipient_downloads_what_was_sent_with_its_papers_and_no_other(
    client, engineer, stems, rough_mix, song
):
    TakeFactory(part__song=song)
    delivery, addresses = send(
        song,
        deliverables=[stems],
        recipients=[Recipient("Hesper Dunnage", "hesper@tholes.example")],
        expires_at=timezone.now() + timedelta(days=1),
        papers=[Paper.TAKE_SHEET],
        address_of=lambda token: reverse("deliveries:open", args=[token]),
        by=engineer,
    )
    (address,) = addresses.values()
    client.post(address)

    pack = zipfile.ZipFile(io.BytesIO(got(client, f"{address}pack.zip")))

    folder = "Neap and Spring, Stems 1/"
    sheet = pack.read(f"{folder}Papers/Take sheet, Neap and Spring.pdf")
    assert "Quay Steps Studio Take sheet Neap and Spring" in text_of(sheet)  # its letterhead
    assert not leads_out(sheet)
    assert pack.namelist() == [
        f"{folder}Stems 1/=1+2.wav",
        f"{folder}Stems 1/Cornet.wav",
        f"{folder}Stems 1/cornet (2).WAV",
        f"{folder}Papers/Take sheet, Neap and Spring.pdf",
        f"{folder}manifest.csv",
        f"{folder}manifest.json",
        f"{folder}SHA256SUMS",
    ]
    (recipient,) = delivery.recipients.all()
    assert [(each.kind, each.file) for each in recipient.events.all()] == [
        ("opened", None),
        ("downloaded", None),
    ]


def test_nothing_to_pack_is_no_page(client_of, engineer, song):
    assert (
        client_of(engineer).get(reverse("deliveries:song_pack", args=[song.pk])).status_code == 404
    )
