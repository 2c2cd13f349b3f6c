"""Files come onto a session's page, are confirmed, linked, undone."""

import hashlib
import json
from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from pytest_django.asserts import assertContains, assertRedirects

from sessions.takes.models import TakeFile
from tests.factories import (
    TEN_O_CLOCK,
    PartFactory,
    RecordingSessionFactory,
    SongFactory,
    TakeFactory,
    TakeFileFactory,
)
from tests.sessions.bookings.test_session_csv import rows_of
from tests.sessions.takes.files.written import bext, ixml, read, wav

pytestmark = pytest.mark.django_db
# 11:00:02 in London is two seconds after take 1 was started there; a hundredth of a second is in it.
NOTES = bext(date="2026-06-01", time="11:00:02", samples=39_602 * 48_000)
ELEVEN = wav(NOTES, ixml(TAKE="1", CIRCLED="TRUE"))


@pytest.fixture
def part():
    return PartFactory(name="Cornet", song__title="Slow the Lantern")


@pytest.fixture
def session(part):
    return RecordingSessionFactory(project=part.song.project)


@pytest.fixture
def take(part, session):
    return TakeFactory(part=part, session=session, number=1)


@pytest.fixture
def web(client_of, engineer):
    return client_of(engineer)


@pytest.fixture(autouse=True)
def incoming(settings, tmp_path):
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path


def page_of(session):
    return reverse("take_files:session", args=[session.pk])


def add(web, session, **sent):
    return web.post(reverse("take_files:add", args=[session.pk]), sent)


def whole(name, content=ELEVEN):
    return SimpleUploadedFile(name, content, content_type="audio/wav")


def only_header(*entries):
    """What the page's script sends: `entries` are path, size, header, bytes of sound."""
    listed = [[path, size, len(header), sound] for path, size, header, sound in entries]
    headers = SimpleUploadedFile("headers", b"".join(header for _, _, header, _ in entries))
    return {"listed": json.dumps(listed), "headers": headers}


def choose(web, session, **chosen):
    of = {f"of-{file.pk}": key for file, key in chosen.pop("files", {}).items()}
    return web.post(reverse("take_files:link", args=[session.pk]), of | chosen)


def test_whole_file_waits_with_its_facts_and_the_hash_of_all_of_it(web, session, take):
    answer = add(web, session, files=[whole("Cornet.wav")])

    assertRedirects(answer, page_of(session))
    file = TakeFile.objects.get()
    assert (file.take, file.path, file.size_bytes) == (None, "Cornet.wav", len(ELEVEN))
    assert file.sha256 == hashlib.sha256(ELEVEN).hexdigest()
    assert (file.sample_rate, file.bit_depth, file.channels) == (48_000, 24, 1)
    assert (file.time_stamp, file.ixml["circled"]) == ("11:00:02", True)
    [match] = web.get(page_of(session)).context["matches"]
    assert match.best.take == take


def test_header_that_a_script_took_out_is_the_same_but_for_the_hash(web, session):
    header = ELEVEN[:12] + ELEVEN[12 : ELEVEN.index(b"data")]

    add(web, session, **only_header(("band day/Cornet.wav", len(ELEVEN), header, 1440)))

    file = TakeFile.objects.get()
    facts = read(ELEVEN)
    assert (file.path, file.name, file.sha256) == ("band day/Cornet.wav", "Cornet.wav", "")
    assert (file.bext, file.ixml, file.frames) == (facts.bext, facts.ixml, facts.frames)


@pytest.mark.parametrize(
    "listed",
    [
        "{",
        "[1]",
        "7",
        '[["a.wav", 1, 2]]',
        '[["a.wav", -1, 0, 0]]',
        '[["a.wav", 1e300, 0, 0]]',
        '[["a.wav", 99999999999999999999, 0, 0]]',
        '[["a.wav", true, 0, 0]]',
        '[["\\u0000", 1, 0, 0]]',
        '[["a.wav", 1, 5000, 0]]',
        "[" * 5000,
    ],
)
def test_list_that_is_none_is_refused_in_words(web, session, listed):
    answer = add(web, session, listed=listed, headers=SimpleUploadedFile("headers", b"RIFF"))

    assert answer.status_code == 422
    assert "files" in answer.context["drop"].errors
    assert not TakeFile.objects.exists()


def test_more_than_can_be_uploaded_is_refused_in_words(web, session, monkeypatch):
    monkeypatch.setattr("sessions.takes.files.forms.LARGEST_UPLOAD", 1000)

    answer = add(web, session, files=[whole("a.wav"), whole("b.wav")])

    assertContains(answer, "can be uploaded at once", status_code=422)


def test_what_is_no_wav_file_is_left_out_and_said(web, session):
    answer = add(web, session, files=[whole("notes.wav", b"not sound"), whole("Cornet.wav")])

    assert [file.path for file in TakeFile.objects.all()] == ["Cornet.wav"]
    assertContains(web.get(answer.url), "No WAV files, left out: notes.wav.")


def test_file_that_is_here_already_is_recognised(web, session, take):
    """By its content under another name; by name, size and time reference without the content."""
    add(web, session, files=[whole("Cornet.wav")])
    TakeFile.objects.update(take=take)
    header = ELEVEN[: ELEVEN.index(b"data")]

    add(web, session, files=[whole("copy.wav")])
    answer = add(web, session, **only_header(("other/Cornet.wav", len(ELEVEN), header, 1440)))

    assert TakeFile.objects.count() == 1
    assertContains(web.get(answer.url), "Cornet.wav is here already, linked to Take 1")


def test_confirmed_file_is_linked_with_its_reason_and_shown_where_the_take_is(
    web, engineer, session, take, part
):
    file = TakeFileFactory(session=session, path="day 1/Cornet.wav")

    answer = choose(web, session, files={file: f"{take.pk}.{part.pk}"})

    assertRedirects(answer, page_of(session))
    file.refresh_from_db()
    assert (file.take, file.part, file.linked_by) == (take, part, engineer)
    assert file.reason == ("91 %: it begins with the take and ends with it, it names Cornet")
    assert file.history.first().history_user == engineer
    assertContains(web.get(reverse("takes:edit", args=[take.pk])), "day 1/Cornet.wav")
    [row] = rows_of(web.get(reverse("takes:session_csv", args=[session.pk])))
    assert row["files"] == "day 1/Cornet.wav"


def test_choice_against_every_suggestion_is_said_to_be_one(web, session, take, part):
    far = {"started_at": TEN_O_CLOCK + timedelta(hours=3), "ended_at": None}
    other = TakeFactory(part=part, session=session, number=2, **far)
    file = TakeFileFactory(session=session)

    choose(web, session, files={file: f"{other.pk}.{part.pk}"})

    file.refresh_from_db()
    assert (file.take, file.reason) == (other, "chosen by hand")


@pytest.mark.parametrize("key", ["", "9999.", "x.y", "{take}.9999", "{foreign}."])
def test_choice_that_is_none_links_nothing(web, session, take, key):
    file = TakeFileFactory(session=session)

    choose(web, session, files={file: key.format(take=take.pk, foreign=TakeFactory().pk)})

    file.refresh_from_db()
    assert file.take is None


def test_second_of_two_who_confirm_is_told_and_the_first_stays(web, session, take, part):
    other = TakeFactory(part=part, session=session, number=2)
    file = TakeFileFactory(session=session, path="Cornet.wav", take=other)

    answer = choose(web, session, files={file: f"{take.pk}."})

    file.refresh_from_db()
    assert file.take == other
    assertContains(web.get(answer.url), "Cornet.wav was linked to Take 2")


def test_link_is_undone_and_the_file_waits_again(web, session, take, part):
    file = TakeFileFactory(session=session, take=take, part=part, reason="chosen by hand")

    answer = web.post(reverse("take_files:unlink", args=[file.pk]))

    assertRedirects(answer, page_of(session))
    file.refresh_from_db()
    assert (file.take, file.part, file.reason) == (None, None, "")


def test_file_that_waits_is_removed_but_one_that_is_linked_is_not(web, session, take):
    waiting, linked = TakeFileFactory(session=session), TakeFileFactory(session=session, take=take)

    for file in (waiting, linked):
        web.post(reverse("take_files:discard", args=[file.pk]))

    assert list(TakeFile.objects.all()) == [linked]
    assert waiting.history.model.objects.filter(history_type="-").get().path == waiting.path


def test_nothing_is_chosen_beforehand_for_a_file_that_fits_nothing(web, session, take):
    TakeFileFactory(session=session, path="talkback.wav", bext=None, time_reference=None)

    [match] = web.get(page_of(session)).context["matches"]

    assert match.best is None


def test_clock_that_is_typed_is_allowed_for(web, session, take):
    """An hour and a second ahead, so that the file is of take 1."""
    stamp = {"origination_date": "2026-06-01", "origination_time": "12:00:01"}
    TakeFileFactory(session=session, bext=stamp, time_reference=None)

    [without] = web.get(page_of(session)).context["matches"]
    [allowed] = web.get(page_of(session), {"ahead": "3601"}).context["matches"]

    assert (without.best, allowed.best.take) == (None, take)


def test_folder_of_the_server_is_read_where_a_setting_allows_it(web, session, settings, tmp_path):
    settings.TAKE_FOLDERS = [str(tmp_path)]
    (tmp_path / "band day").mkdir()
    (tmp_path / "band day" / "Cornet.wav").write_bytes(ELEVEN)
    address = reverse("take_files:folder", args=[session.pk])

    answer = web.post(address, {"root": str(tmp_path), "folder": f"{tmp_path}/band day"})

    assertRedirects(answer, page_of(session))
    assert TakeFile.objects.get().where == f"{tmp_path}/band day/Cornet.wav"
    assert web.post(address, {"root": str(tmp_path), "folder": "../"}).status_code == 422
    assert web.post(address, {"root": "/etc", "folder": ""}).status_code == 422


def test_folders_of_the_server_are_off_without_the_setting_and_say_how_to_switch_them_on(
    web, session, settings
):
    settings.TAKE_FOLDERS = []

    assertContains(web.get(page_of(session)), "<code>TAKE_FOLDERS</code>")


def test_take_of_another_session_of_the_project_is_found_by_its_time(web, session, part):
    other = RecordingSessionFactory(project=session.project, starts_at=TEN_O_CLOCK)
    theirs = TakeFactory(part=part, session=other, number=5, logged_at=TEN_O_CLOCK)
    TakeFactory(part=PartFactory(song=SongFactory()), number=6)
    TakeFileFactory(session=session)

    [match] = web.get(page_of(session)).context["matches"]

    assert match.best.take == theirs


def test_file_of_a_time_at_which_no_take_rolled_is_of_the_session_all_the_same(web, session, take):
    noon = {"origination_date": "2026-06-01", "origination_time": "13:30:00"}
    TakeFileFactory(session=session, path="talkback.wav", bext=noon, time_reference=None)

    [match] = web.get(page_of(session)).context["matches"]

    assert (match.suggestions, match.session) == ([], session)


@pytest.mark.parametrize("count", [1, 3])
def test_page_costs_the_same_for_any_number_of_files_and_takes(
    web, session, part, count, django_assert_num_queries
):
    for number in range(1, count + 1):
        take = TakeFactory(part=part, session=session, number=number)
        TakeFileFactory(session=session)
        TakeFileFactory(session=session, take=take, part=part)

    with django_assert_num_queries(10):
        web.get(page_of(session))
