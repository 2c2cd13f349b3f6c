"""Each reader of somebody's file is fed its bomb: it answers in words, in the time and the memory that it
may take, and the server's own memory stays as it was. Those of recall sheets, PDF and JSON, are in
`recall/imported/test_child.py`, those of lists in `gear/equipment/lists/test_plans.py`."""

import re
import time
from contextlib import suppress
from datetime import date
from pathlib import Path

import pytest
from django.conf import settings
from django.core.files.base import ContentFile
from django.http import QueryDict
from django.urls import reverse
from django.utils.datastructures import MultiValueDict

from sessions.deliverables.measuring import UnmeasurableFile, measure_in_child
from sessions.deliverables.measuring.child import GIBIBYTE
from sessions.deliverables.measuring.header import read_header
from sessions.deliverables.uploads.arriving import refuse_what_is_no_sound
from sessions.desk.calendar_import import child as calendars
from sessions.desk.calendar_import.reading import LARGEST_CALENDAR, NotACalendar
from sessions.limited import ChildFailed, run_limited
from sessions.pictures import child as pictures
from sessions.pictures.decoding import NotAPicture
from sessions.signing.strokes import LONGEST_TEXT, NotDrawn, lines_of
from sessions.takes.files import child as headers
from sessions.takes.files.chunks import read_header as take_header
from sessions.takes.files.forms import DropForm
from sessions.takes.files.notes import LONGEST_HISTORY
from tests.factories import SongFactory
from tests.sessions.bounds import bombs
from tests.watched import peak_memory, watched

SERVER_BYTES = 40 << 20  # beside the file itself, which a test holds
SERVER_SECONDS = 3.0  # of computing, in a process that others wait for


def assert_within(taken, reader=None) -> None:
    assert taken.grown < SERVER_BYTES
    assert taken.seconds < SERVER_SECONDS
    assert bool(taken.children) == bool(reader)
    for memory, seconds in taken.children:
        assert memory < reader.MEMORY_BYTES + peak_memory()
        assert seconds < reader.CPU_SECONDS + 1


@pytest.mark.parametrize(
    ("bomb", "taken_as"), [(bombs.png_of_text, "photo"), (bombs.png_of_profile, "logo")]
)
def test_picture_with_packed_notes_is_refused_or_kept_without_them(bomb, taken_as):
    file = ContentFile(bomb(200), "mark.png")

    with watched() as taken, suppress(NotAPicture):
        kept = pictures.picture_in_child(file, taken_as=taken_as)
        assert len(kept.content) < 1000

    assert_within(taken, pictures)


@pytest.mark.parametrize("bomb", [bombs.calendar_of_depth, bombs.calendar_of_repeats])
def test_calendar_is_read_or_refused_in_words(bomb, monkeypatch):
    monkeypatch.setattr(calendars, "CPU_SECONDS", 1)
    content = bomb()
    assert len(content) < LARGEST_CALENDAR

    with watched() as taken, suppress(NotACalendar):
        calendars.events_in(ContentFile(content), date(2026, 1, 1), date(2026, 12, 31))

    assert_within(taken, calendars)


def test_headers_of_takes_are_read_within_bounds():
    made = [bombs.wav_of_entities(), bombs.wav_of_depth(), *[bombs.wav_of_history()] * 10]
    found = []
    for content in made:
        header = take_header(ContentFile(content), len(content))
        found.append(headers.FoundFile("a.wav", len(content), header.content, header.sound_bytes))

    with watched() as taken:
        laughs, deep, *long = headers.facts_of_each(found)

    assert_within(taken, headers)
    assert len(str(laughs)) < 2000
    assert len(str(deep)) < 2000
    assert {len(each.bext["coding_history"]) for each in long} == {LONGEST_HISTORY}


def test_headers_that_all_stop_their_reader_take_no_more_time_than_one(monkeypatch):
    """Nothing that we know stops it, so each child is made to fail."""
    asked = []

    def fails(*arguments, **limits):
        asked.append(arguments)
        time.sleep(0.03)
        raise ChildFailed

    monkeypatch.setattr(headers, "WALL_SECONDS", 0.1)
    monkeypatch.setattr(headers, "run_limited", fails)

    facts = headers.facts_of_each([headers.FoundFile("a.wav", 900, b"", 1440)] * 64)

    assert len(facts) == 64
    assert len(asked) < 6
    assert "add this one again by itself" in facts[-1].problems[0]


@pytest.mark.parametrize("bomb", [bombs.boxes, bombs.core_audio_chunks])
def test_first_look_at_an_upload_ends_however_many_pieces_it_is_made_of(tmp_path, bomb):
    path = tmp_path / "upload"
    path.write_bytes(bomb(1_500_000))

    with watched() as taken, suppress(UnmeasurableFile):
        read_header(path)

    assert_within(taken)


def test_sound_that_is_none_is_measured_and_looked_at_within_bounds(tmp_path):
    empty, tag = tmp_path / "empty.m4a", tmp_path / "tag.mp3"
    empty.write_bytes(bombs.boxes(200_000))
    tag.write_bytes(bombs.tag_of_music(2000))

    with watched() as taken:
        with pytest.raises(UnmeasurableFile, match="file is damaged"):
            measure_in_child(empty, cpu_seconds=20)
        with pytest.raises(UnmeasurableFile, match="not a sound file"):
            refuse_what_is_no_sound(tag)

    assert len(taken.children) == 2
    assert taken.grown < SERVER_BYTES
    assert max(memory for memory, _ in taken.children) < GIBIBYTE
    assert max(seconds for _, seconds in taken.children) < 20


def test_box_that_leads_out_of_the_file_is_found_among_the_first(tmp_path):
    path = tmp_path / "upload"
    path.write_bytes(bombs.boxes(5000) + b"\0\1\0\0mdat")

    with pytest.raises(UnmeasurableFile, match="ends before its sound does"):
        read_header(path)


@pytest.mark.parametrize(
    "text", ["[" * LONGEST_TEXT, "[[1" + "0" * 70_000 + ",1]]", "[" * 2_000_000]
)
def test_signature_is_refused_in_words(text):
    with watched() as taken, pytest.raises(NotDrawn):
        lines_of(text)

    assert_within(taken)


LIMITS = {"memory_bytes": 1 << 30, "cpu_seconds": 20, "wall_seconds": 60}


@pytest.mark.parametrize("where", ["answer", "complaint"])
def test_child_that_never_ends_what_it_says_is_not_listened_to(where):
    """200 MB of an answer are cut off, and of one line of complaint the last is kept."""
    with watched() as taken:
        try:
            written = run_limited("tests.sessions.bounds.endless", where, **LIMITS)
        except ChildFailed as failure:
            written = str(failure).encode()

    assert len(written) < 3000
    assert taken.grown < SERVER_BYTES


# Who opens what somebody else made: in a child of its own, or only to write, or only what we wrote.
OPENERS = {
    "sessions/pictures/decoding.py": "child",
    "sessions/recall/imported/pictures.py": "child",
    "sessions/recall/imported/reading.py": "child",
    "sessions/recall/proving/recording.py": "child",
    "sessions/takes/files/notes.py": "child",
    "sessions/desk/calendar_import/reading.py": "child",
    "sessions/deliverables/listening/encoding.py": "child",
    "sessions/deliverables/measuring/decoding.py": "child",
    "sessions/deliverables/measuring/layouts.py": "child",
    "sessions/deliverables/measuring/meter.py": "child",
    "sessions/deliverables/measuring/samples.py": "child",
    "sessions/deliverables/nulling/reading.py": "child",
    "sessions/deliverables/uploads/recognising.py": "child",
    "sessions/setups/photos/reduced.py": "a JPEG of at most 2048 pixels that our child wrote",
    "sessions/deliveries/packing/archive.py": "writes",
    "studio/backups/making.py": "writes",
    "studio/backups/reading.py": "a command, by lines and blocks: tests/studio/backups",
    "sessions/bookings/event.py": "writes",
    "sessions/calendar/feeds/events.py": "writes",
    "sessions/ical/events.py": "writes",
    "sessions/ical/zones.py": "writes",
    "sessions/papers/pdf.py": "writes",
    "studio/erasing/letter_files.py": "a command, papers of ours",
    "gear/panels/generic_kinds.py": "a file of ours",
    "gear/comma_separated.py": "by lines, 1 MB at most: tests/gear/equipment/lists",
}
DECODERS = (
    "av bz2 csv gzip icalendar lxml lzma marshal pickle PIL pypdf recurring_ical_events tarfile wavinfo "
    "xml yaml zipfile"
)


def test_whoever_can_open_a_file_is_listed_with_how_it_is_bounded():
    opens = re.compile(rf"^\s*(import|from) ({'|'.join(DECODERS.split())})\b", re.MULTILINE)
    folders = [Path(folder) for folder in ("gear", "sessions", "studio")]
    found = {
        path.as_posix()
        for folder in folders
        for path in folder.rglob("*.py")
        if opens.search(path.read_text("utf-8")) and "demo" not in path.parts
    }

    assert found == set(OPENERS)


LISTED = {
    "[" * 1_000_000: "At most 500 files",
    "[" + "[]," * 800_000 + "[]]": "At most 500 files",
    "[" * 5000: "arrived damaged",
    f'[["a.wav", 1{"0" * 4000}, 1, 1]]': "arrived damaged",
    f'[["a.wav", 1{"0" * 2_000_000}, 1, 1]]': "arrived damaged",
    "[" + "{}," * 800_000 + "{}]": "arrived damaged",
}


@pytest.mark.parametrize("listed", LISTED, ids=lambda listed: listed[:12])
def test_list_of_dropped_files_is_refused_in_words(listed):
    with watched() as taken:
        form = DropForm(QueryDict(mutable=True) | {"listed": listed}, MultiValueDict())
        assert LISTED[listed] in form.errors["files"][0]

    assert taken.grown < 2 * SERVER_BYTES
    assert taken.seconds < SERVER_SECONDS


@pytest.fixture
def posted(client_of, manager):
    """The answer to a form that a page with a file is posted, and what reading it took."""
    web = client_of(manager)

    def posted(body: bytes, boundary: str = "b"):
        kind = f"multipart/form-data; boundary={boundary}"
        with watched() as taken:
            answer = web.generic("POST", reverse("equipment:import_units"), body, content_type=kind)
        return answer, taken

    return posted


def part(name: str, content: bytes = b"", *more: str) -> bytes:
    head = "\r\n".join([f'Content-Disposition: form-data; name="{name}"', *more])
    return b"--b\r\n" + head.encode() + b"\r\n\r\n" + content + b"\r\n"


FORMS = {
    "100,000 fields": part("a") * 100_000,
    "a field larger than all may be": part(
        "text", b"x" * (settings.DATA_UPLOAD_MAX_MEMORY_SIZE + 1)
    ),
    "1,000 empty files": part('a"; filename="a.csv') * 1000,
    "a head of 1 MB": part("a" * (1 << 20)),
    "Base64 that is none": part("text", b"=" * 4_000_000, "Content-Transfer-Encoding: base64"),
    "no end": b"--b\r\n" * 1000 + b"-" * 4_000_000,
}


@pytest.mark.parametrize("form", FORMS)
def test_form_is_refused_in_words_and_swells_nothing(posted, form):
    """RFC 7578 puts no bound on parts; Django's settings and `LimitedUploadHandler` do."""
    body = FORMS[form] + b"--b--\r\n"

    answer, taken = posted(body)

    assert answer.status_code in (200, 400)
    assert "<h1" in answer.text
    assert taken.grown < SERVER_BYTES
    assert taken.seconds < SERVER_SECONDS


def test_file_larger_than_the_page_takes_is_no_larger_on_the_disk(posted, settings, tmp_path):
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path
    body = part('file"; filename="a.csv', b"tag\r\n" * 1_000_000) + b"--b--\r\n"

    answer, taken = posted(body)

    assert "larger than 1 MB" in answer.text
    assert taken.grown < SERVER_BYTES
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "said", ["filename " + "A" * 60_000, "a" * 60_000, "a YQ==," * 9000, "filename =", "\0 \0"]
)
def test_head_of_an_upload_is_read_or_refused_in_words(client_of, engineer, said):
    """tus 1.0.0, "Upload-Metadata"; a server of ours reads heads of at most 8 kB a line."""
    web, song = client_of(engineer), SongFactory()
    heads = {"Tus-Resumable": "1.0.0", "Upload-Length": "4", "Upload-Metadata": said}

    with watched() as taken:
        answer = web.post(reverse("uploads:create", args=[song.pk]), headers=heads)

    assert 400 <= answer.status_code < 500
    assert answer["Studio-Said"]
    assert_within(taken)
