"""A paper is made once, and again only when it says something else."""

from datetime import timedelta
from unittest.mock import Mock

import pytest
from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from sessions.papers.stored import making
from sessions.papers.stored.models import GIVEN_UP_AFTER, StoredPaper
from sessions.papers.stored.upkeep import remove_leftovers
from sessions.recall.sheet import stored
from sessions.storing import remove_without_row
from sessions.tasks.models import Worker
from studio.roles import Role
from studio.working.worker import StudioWorker
from tests.factories import (
    PartFactory,
    RecordingSessionFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)
from tests.printed import text_of
from tests.sessions.recall.recorded import chain_of, record

pytestmark = pytest.mark.django_db


@pytest.fixture
def song():
    part = PartFactory(name="Lead vocal")
    chain = chain_of(part)
    StageFactory(revision=chain)
    record(TakeFactory(part=part, circled=True), chain)
    return part.song


@pytest.fixture
def printed(monkeypatch):
    """A press that prints at once, and counts."""
    press = Mock(side_effect=lambda *_, **facts: f"%PDF {facts['printed_at']}".encode())
    monkeypatch.setattr(making, "render_pdf", press)
    return press


@pytest.fixture
def client(client_of, engineer):
    return client_of(engineer)


@pytest.fixture
def address(song):
    return reverse("recall:song_pdf", args=[song.pk])


def sign_in(client, user):
    client.force_login(user, backend="studio.backends.RoleBackend")


def fetched(client, address, *asked, **facts):
    """The answer, read to its end, with its `body`."""
    answer = client.get(address, *asked, **facts)
    answer.body = answer.getvalue()
    return answer


def test_second_time_the_stored_sheet_is_served(client, address, printed):
    first, second = fetched(client, address), fetched(client, address)

    assert printed.call_count == 1
    assert first.body == second.body
    assert first["ETag"] == second["ETag"]
    assert "no-cache" in second["Cache-Control"]
    assert fetched(client, address, headers={"If-None-Match": first["ETag"]}).status_code == 304


def test_report_of_a_session_is_stored_too(client, printed):
    session = RecordingSessionFactory(title="Voices")
    address = reverse("reports:session_pdf", args=[session.pk])
    first, second = fetched(client, address), fetched(client, address)

    assert printed.call_count == 1
    assert first.body == second.body
    session.note = "Rain on the roof until noon."
    session.save()
    assert fetched(client, address)["ETag"] != first["ETag"]
    assert printed.call_count == 2


def test_each_who_may_see_it_gets_the_one_that_was_made(client, address, printed, manager):
    first = fetched(client, address)
    sign_in(client, manager)

    assert fetched(client, address)["ETag"] == first["ETag"]
    assert printed.call_count == 1


def test_project_taken_from_a_mix_engineer_takes_the_stored_sheet_at_once(
    client, mix_engineer, address, printed, song
):
    song.project.mix_engineers.add(mix_engineer.person)
    sign_in(client, mix_engineer)
    assert fetched(client, address).status_code == fetched(client, address).status_code == 200

    song.project.mix_engineers.remove(mix_engineer.person)

    assert fetched(client, address).status_code == 404


def test_person_who_is_no_longer_the_mix_engineers_takes_the_stored_sheet_at_once(
    client, mix_engineer, address, printed, song
):
    song.project.mix_engineers.add(mix_engineer.person)
    sign_in(client, mix_engineer)
    assert fetched(client, address).status_code == 200

    person = mix_engineer.person
    person.user = None
    person.save()

    assert fetched(client, address).status_code == 404


def test_role_that_sees_less_takes_the_stored_sheet_at_once(client, address, printed, engineer):
    assert fetched(client, address).status_code == 200
    engineer.role = Role.MIX_ENGINEER
    engineer.save()

    assert fetched(client, address).status_code == 404


@pytest.mark.parametrize("signed_out", [False, True])
def test_nobody_unknown_gets_a_stored_sheet(client, address, printed, engineer, signed_out):
    assert fetched(client, address).status_code == 200
    if signed_out:
        client.logout()
    else:
        engineer.is_active = False
        engineer.save()

    assert fetched(client, address).status_code == 302


def test_stretch_of_a_stored_sheet_may_be_asked_for(client, address, printed):
    whole = fetched(client, address).body

    part = fetched(client, address, headers={"Range": "bytes=0-3"})

    assert (part.status_code, part.body) == (206, whole[:4])


def test_change_on_the_sheet_makes_another_in_its_place(client, address, printed, song):
    old = fetched(client, address)
    song.note = "Half a tone lower."
    song.save()

    new = fetched(client, address)

    assert printed.call_count == 2
    assert new["ETag"] != old["ETag"]
    assert StoredPaper.objects.count() == 1


def test_change_elsewhere_in_the_house_keeps_the_sheet(client, address, printed):
    old = fetched(client, address)
    UnitFactory()

    assert fetched(client, address)["ETag"] == old["ETag"]
    assert printed.call_count == 1


def test_each_size_is_stored_by_itself(client, address, printed):
    tags = {fetched(client, address, {"paper": paper})["ETag"] for paper in ("a4", "a5", "a4")}

    assert len(tags) == printed.call_count == 2


def test_sheet_whose_file_is_gone_is_made_again(client, address, printed):
    fetched(client, address)
    StoredPaper.objects.get().file.delete(save=False)

    assert fetched(client, address, follow=True).status_code == 200
    assert printed.call_count == 2


@pytest.fixture
def worker():
    """One that is alive, and works when it is told to."""
    Worker.objects.sign("at work")
    return lambda: StudioWorker(once=True).run()


def test_sheet_is_made_by_the_worker_while_a_page_waits_for_it(client, address, printed, worker):
    waiting = fetched(client, address, {"paper": "a5"})

    assert waiting.status_code == 202
    assert "The paper is being made" in waiting.text
    assert 'content="1;url=?paper=a5&amp;asked=' in waiting.text
    assert fetched(client, address, {"paper": "a5"}).status_code == 202
    assert DBTaskResult.objects.count() == 1
    printed.assert_not_called()

    worker()

    assert fetched(client, address, {"paper": "a5"}).body.startswith(b"%PDF")
    assert printed.call_count == 1


def test_changed_sheet_is_made_by_the_worker_too(client, address, printed, worker, song):
    fetched(client, address)
    worker()
    song.note = "Half a tone lower."
    song.save()

    assert fetched(client, address).status_code == 202
    worker()
    assert fetched(client, address).status_code == 200
    assert printed.call_count == 2


def test_who_waits_is_given_what_was_made_meanwhile_whatever_changed_after(
    client, address, printed, worker, song
):
    waiting = fetched(client, address)
    worker()
    song.note = "Half a tone lower."
    song.save()

    assert fetched(client, address, query_params=asked_again(waiting)).status_code == 200
    assert fetched(client, address).status_code == 202


def asked_again(page):
    return {"asked": page.text.split("asked=")[1].split('"')[0]}


@pytest.mark.parametrize("asked", ["x", "nan", "inf", "-1", "0", "1" * 400])
def test_odd_moment_of_asking_is_none(client, address, printed, song, asked):
    fetched(client, address)
    song.note = "Half a tone lower."
    song.save()

    assert fetched(client, address, {"asked": asked}).status_code == 200
    assert printed.call_count == 2


def test_moment_of_asking_does_not_hold_for_long(client, address, printed, worker, song):
    fetched(client, address)
    worker()
    long_ago = timezone.now() - 2 * GIVEN_UP_AFTER
    song.note = "Half a tone lower."
    song.save()

    assert fetched(client, address, {"asked": long_ago.timestamp()}).status_code == 202


def test_long_sheet_waits_in_words_where_no_worker_runs(client, address, printed, monkeypatch):
    monkeypatch.setattr(stored, "CHAINS_AT_ONCE", 0)

    waiting = fetched(client, address)

    assert waiting.status_code == 202
    assert "The paper is waiting for the worker" in waiting.text
    assert "it is not running" in waiting.text
    StudioWorker(once=True).run()
    assert fetched(client, address).status_code == 200


def test_failure_is_said_and_can_be_tried_again(client, address, worker, monkeypatch, caplog):
    monkeypatch.setattr(making, "render_pdf", Mock(side_effect=MemoryError))
    fetched(client, address)
    worker()

    page = fetched(client, address).text
    assert "The paper could not be made" in page
    assert "MemoryError" in page
    assert "refresh" not in page
    assert "MemoryError" in caplog.text

    monkeypatch.setattr(making, "render_pdf", lambda *_, **facts: b"%PDF")
    assert client.post(address, follow=True).status_code == 202
    worker()
    assert fetched(client, address).status_code == 200


def test_changed_sheet_is_tried_again_after_a_failure(client, address, worker, monkeypatch, song):
    monkeypatch.setattr(making, "render_pdf", Mock(side_effect=MemoryError))
    fetched(client, address)
    worker()
    song.note = "Half a tone lower."
    song.save()

    assert "The paper is being made" in fetched(client, address).text


def test_task_that_was_lost_holds_nothing_up(client, address, printed, worker):
    fetched(client, address)
    DBTaskResult.objects.all().delete()
    StoredPaper.objects.update(wanted_at=timezone.now() - GIVEN_UP_AFTER - timedelta(seconds=1))

    fetched(client, address)
    worker()

    assert fetched(client, address).status_code == 200


def test_made_twice_it_is_printed_once(client, address, printed):
    fetched(client, address)
    paper = StoredPaper.objects.get()
    making.bring_up_to_date.call(paper.pk)

    assert printed.call_count == 1


def test_paper_that_somebody_waits_for_is_made_before_others(client, address, printed, worker):
    making.want(StoredPaper.objects.all())
    fetched(client, address)
    [waited_for] = DBTaskResult.objects.all()

    other = StoredPaper.objects.get()
    other.pk, other.address, other.wanted_at = None, "http://testserver/elsewhere/", None
    other.save()
    making.want(StoredPaper.objects.filter(pk=other.pk))

    assert DBTaskResult.objects.ready().first() == waited_for


def test_song_that_went_leaves_nothing(client, address, printed):
    StoredPaper.objects.create(
        kind="sessions.recall.sheet.stored.RECALL_SHEET", subject=999, size="a4", address="x"
    )
    gone = StoredPaper.objects.get()
    making.bring_up_to_date.call(gone.pk)

    remove_leftovers()

    assert not StoredPaper.objects.exists()
    printed.assert_not_called()


def test_files_that_no_paper_has_are_removed_an_hour_later(client, address, printed, song):
    remove_leftovers()  # nothing was ever made
    old = fetched(client, address)
    song.note = "Half a tone lower."
    song.save()
    new = fetched(client, address)

    remove_leftovers()
    assert len(stored_files()) == 2

    remove_without_row(timezone.now() + timedelta(minutes=61))
    assert stored_files() == [new["ETag"].strip('"') + ".pdf"]
    assert fetched(client, address).status_code == 200
    assert old["ETag"] != new["ETag"]


def stored_files():
    return default_storage.listdir("papers")[1]


def test_stored_sheet_costs_two_queries_more_than_its_page(
    client, address, printed, song, django_assert_num_queries
):
    fetched(client, address)

    with django_assert_num_queries(20):
        client.get(reverse("recall:song", args=[song.pk]))
    with django_assert_num_queries(22):  # for the paper, and for the studio that it names
        fetched(client, address)


def test_stored_sheet_says_when_it_was_made(client, address):
    pdf = fetched(client, address).body

    made_at = timezone.localtime(StoredPaper.objects.get().made_at)
    assert f"Made on {made_at:%a} {made_at.day} {made_at:%b %Y, %H:%M}" in text_of(pdf)


def test_of_two_workers_who_print_one_paper_the_later_draft_stays(
    client, address, song, monkeypatch
):
    """The slower one began first: while it prints, the title is changed and another is done with it."""
    printing = []

    def print_slowly(*_, **facts):
        printing.append(facts["title"])
        if len(printing) == 1:
            song.title = "Neap and Spring, slower"
            song.save()
            making.bring_up_to_date.call(StoredPaper.objects.get().pk)
        return f"%PDF {facts['title']}".encode()

    monkeypatch.setattr(making, "render_pdf", print_slowly)
    fetched(client, address)

    paper = StoredPaper.objects.get()
    assert len(set(printing)) == 2
    with paper.file.open() as file:
        assert file.read() == f"%PDF {printing[1]}".encode()
    assert b"slower" in fetched(client, address).body
    assert len(printing) == 2
