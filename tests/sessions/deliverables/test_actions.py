"""Handing in a file: the rows, the file in the store, and what is left when it fails."""

import os
import time
from pathlib import Path

import pytest
from django.core.files import File
from django.core.files.uploadedfile import TemporaryUploadedFile
from django.db import IntegrityError, OperationalError, connection
from django.utils import timezone

from sessions.deliverables.actions import hand_in
from sessions.deliverables.measured import measure
from sessions.deliverables.measuring import UnmeasurableFile
from sessions.deliverables.models import Deliverable, DeliverableFile, DeliverableKind
from sessions.storing import sweep_incoming
from tests.factories import SongFactory, UserFactory
from tests.signals import write_wav

pytestmark = pytest.mark.django_db


@pytest.fixture
def wav(source, sound):
    return write_wav(source("slow the lantern.wav"), sound)


def as_upload(path, name=None):
    """The file as it stands after a form was sent: in a temporary file of the incoming folder."""
    upload = TemporaryUploadedFile(name or path.name, "audio/wav", path.stat().st_size, None)
    upload.write(path.read_bytes())
    upload.seek(0)
    return upload


def hand_in_rough_mix(song, upload, **facts):
    facts = {"kind": DeliverableKind.ROUGH_MIX, "note": "", "by": UserFactory(), **facts}
    return hand_in(song, upload=upload, **facts)


def test_hand_in_moves_the_upload_into_the_store(wav, left_behind):
    with as_upload(wav) as upload:
        deliverable = hand_in_rough_mix(SongFactory(), upload, note="Faders only")

    file = deliverable.files.get()
    assert left_behind() == [Path(file.file.path)]
    assert file.file.open().read() == wav.read_bytes()
    assert (file.original_name, deliverable.note) == ("slow the lantern.wav", "Faders only")
    file.file.close()


def test_hand_in_copies_a_file_that_is_not_an_upload(wav):
    with wav.open("rb") as opened:
        deliverable = hand_in_rough_mix(SongFactory(), File(opened, name=wav.name))

    assert Path(deliverable.files.get().file.path).read_bytes() == wav.read_bytes()
    assert wav.exists()


def test_hand_in_counts_versions_for_each_song_and_kind(wav):
    song = SongFactory()

    def version_of(song, kind):
        with as_upload(wav) as upload:
            return hand_in_rough_mix(song, upload, kind=kind).version

    assert version_of(song, DeliverableKind.ROUGH_MIX) == 1
    assert version_of(song, DeliverableKind.ROUGH_MIX) == 2
    assert version_of(song, DeliverableKind.STEMS) == 1
    assert version_of(SongFactory(), DeliverableKind.ROUGH_MIX) == 1


def test_hand_in_remembers_who_did_it(wav, engineer):
    with as_upload(wav) as upload:
        deliverable = hand_in_rough_mix(SongFactory(), upload, by=engineer)

    assert deliverable.created_by == engineer
    assert deliverable.history.get().history_user == engineer


@pytest.mark.parametrize(
    ("sent", "kept"),
    [
        ("../../etc/passwd.wav", "passwd.wav"),
        ("C:\\mixes\\night.wav", "night.wav"),
        ("Ebbe\r\nSet-Cookie: a=b\x00.wav", "EbbeSet-Cookie: a=b.wav"),
        ("mix\u202evaw.exe", "mixvaw.exe"),
        ("Größe – “Meer”.wav", "Größe – “Meer”.wav"),
        ("..", "unnamed"),
    ],
)
def test_hand_in_keeps_the_name_for_show_and_stores_under_its_own(sent, kept, wav, folders):
    upload = as_upload(wav)
    upload._name = sent  # as a name that no upload handler has seen
    with upload:
        file = hand_in_rough_mix(SongFactory(), upload).files.get()

    stored = Path(file.file.path)
    assert file.original_name == kept
    assert stored.is_relative_to(folders / "files" / "audio")
    assert len(stored.stem) == 32
    assert set(stored.stem) <= set("0123456789abcdef")
    assert stored.suffix == ".wav"


def test_hand_in_of_a_file_that_cannot_be_measured_leaves_nothing(source, left_behind):
    source("notes.wav").write_text("Verse two was the better one.")

    with (
        as_upload(source("notes.wav")) as upload,
        pytest.raises(UnmeasurableFile, match="not a sound file"),
    ):
        hand_in_rough_mix(SongFactory(), upload)

    assert left_behind() == []
    assert not Deliverable.objects.exists()


def test_hand_in_refused_by_a_constraint_leaves_nothing(wav, left_behind):
    with as_upload(wav) as upload, pytest.raises(IntegrityError):
        hand_in_rough_mix(SongFactory(), upload, note=None)

    assert left_behind() == []
    assert not Deliverable.objects.exists()


def test_hand_in_leaves_nothing_when_the_last_row_fails(wav, left_behind):
    kept_then = []

    def full_disk(execute, sql, params, many, context):
        if sql.startswith('INSERT INTO "studio_sessions_deliverablefile"'):
            kept_then.extend(left_behind())
            raise OperationalError("database or disk is full")
        return execute(sql, params, many, context)

    with (
        as_upload(wav) as upload,
        connection.execute_wrapper(full_disk),
        pytest.raises(OperationalError),
    ):
        hand_in_rough_mix(SongFactory(), upload)

    assert len(kept_then) == 1, "the file was in the store when the database failed"
    assert left_behind() == []
    assert not Deliverable.objects.exists()
    assert not Deliverable.history.exists()


def test_hand_in_measures_and_stores_before_the_transaction(wav, left_behind):
    begun = []

    def look(execute, sql, params, many, context):
        begun.append(len(left_behind()))
        return execute(sql, params, many, context)

    song, by = SongFactory(), UserFactory()
    with as_upload(wav) as upload, connection.execute_wrapper(look):
        hand_in_rough_mix(song, upload, by=by)

    files = list(DeliverableFile.objects.values_list("file", flat=True))
    assert len(files) == 1
    assert begun
    assert set(begun) == {1}, "every statement found the one file, in its place"


def test_sweep_removes_what_a_killed_process_left(folders):
    old, young = (folders / "incoming" / f"tmp{n}.upload.wav" for n in (1, 2))
    other = folders / "incoming" / "README"
    for path in (old, young, other):
        path.write_bytes(b"RIFF")
    yesterday = time.time() - 25 * 60 * 60
    os.utime(old, (yesterday, yesterday))
    os.utime(other, (yesterday, yesterday))

    sweep_incoming(timezone.now())

    assert {path.name for path in (folders / "incoming").iterdir()} == {young.name, other.name}


def test_history_of_a_file_says_what_was_measured_but_not_how_it_went_on(wav):
    with wav.open("rb") as opened:
        file = hand_in_rough_mix(SongFactory(), File(opened, name=wav.name)).files.get()
    DeliverableFile.objects.filter(pk=file.pk).update(state="waiting", progress_percent=0)

    measure.call(file.pk)

    measured = file.history.first()
    assert (measured.history_type, measured.state, measured.codec) == ("~", "measured", file.codec)
    assert not hasattr(measured, "waveform")
