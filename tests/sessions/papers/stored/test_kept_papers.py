"""A paper is made once, and again only when it says something else."""

from datetime import timedelta
from unittest.mock import Mock

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone

from sessions.papers.stored import keeping, making, serving
from sessions.papers.stored.making import LONGEST
from sessions.papers.stored.models import KeptPaper, PaperState
from studio.roles import Role
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
    monkeypatch.setattr(keeping, "render_pdf", press)
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


@pytest.fixture
def long(monkeypatch):
    """As if the paper were longer than what is made at once."""
    monkeypatch.setattr(keeping, "MADE_AT_ONCE", 0)
    started = Mock()
    monkeypatch.setattr(making, "Thread", started)
    return started


def test_second_time_the_kept_sheet_is_served(client, address, printed):
    first, second = fetched(client, address), fetched(client, address)

    assert printed.call_count == 1
    assert first.body == second.body
    assert first["ETag"] == second["ETag"]
    assert "no-cache" in second["Cache-Control"]
    assert fetched(client, address, headers={"If-None-Match": first["ETag"]}).status_code == 304


def test_kept_paper_costs_a_query_for_each_thing_that_is_asked(
    client, address, printed, monkeypatch, django_assert_num_queries
):
    monkeypatch.setattr(serving, "stamp_of", lambda *_: "as it was")  # one query
    fetched(client, address)

    with django_assert_num_queries(3):  # the web session, the user, the paper
        fetched(client, address)


def test_report_of_a_session_is_kept_too(client, printed):
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


def test_project_taken_from_a_mix_engineer_takes_the_kept_sheet_at_once(
    client, mix_engineer, address, printed, song
):
    song.project.mix_engineers.add(mix_engineer.person)
    sign_in(client, mix_engineer)
    assert fetched(client, address).status_code == fetched(client, address).status_code == 200

    song.project.mix_engineers.remove(mix_engineer.person)

    assert fetched(client, address).status_code == 404


def test_person_who_is_no_longer_the_mix_engineers_takes_the_kept_sheet_at_once(
    client, mix_engineer, address, printed, song
):
    song.project.mix_engineers.add(mix_engineer.person)
    sign_in(client, mix_engineer)
    assert fetched(client, address).status_code == 200

    person = mix_engineer.person
    person.user = None
    person.save()

    assert fetched(client, address).status_code == 404


def test_role_that_sees_less_takes_the_kept_sheet_at_once(client, address, printed, engineer):
    assert fetched(client, address).status_code == 200
    engineer.role = Role.MIX_ENGINEER
    engineer.save()

    assert fetched(client, address).status_code == 404


@pytest.mark.parametrize("signed_out", [False, True])
def test_nobody_unknown_gets_a_kept_sheet(client, address, printed, engineer, signed_out):
    assert fetched(client, address).status_code == 200
    if signed_out:
        client.logout()
    else:
        engineer.is_active = False
        engineer.save()

    assert fetched(client, address).status_code == 302


def test_stretch_of_a_kept_sheet_may_be_asked_for(client, address, printed):
    whole = fetched(client, address).body

    part = fetched(client, address, headers={"Range": "bytes=0-3"})

    assert (part.status_code, part.body) == (206, whole[:4])


def test_change_on_the_sheet_makes_another_and_lets_the_old_one_go(client, address, printed, song):
    old = fetched(client, address)
    song.note = "Half a tone lower."
    song.save()

    new = fetched(client, address)

    assert printed.call_count == 2
    assert new["ETag"] != old["ETag"]
    assert KeptPaper.objects.count() == 1


def test_change_elsewhere_in_the_house_keeps_the_sheet(client, address, printed):
    old = fetched(client, address)
    UnitFactory()

    assert fetched(client, address)["ETag"] == old["ETag"]
    assert printed.call_count == 1


def test_each_size_is_kept_by_itself(client, address, printed):
    tags = {fetched(client, address, {"paper": paper})["ETag"] for paper in ("a4", "a5", "a4")}

    assert len(tags) == printed.call_count == 2


def test_sheet_whose_file_is_gone_is_made_again(client, address, printed):
    fetched(client, address)
    KeptPaper.objects.get().file.delete(save=False)

    assert fetched(client, address, follow=True).status_code == 200
    assert printed.call_count == 2


def test_long_sheet_is_made_while_a_page_waits_for_it(client, address, printed, long):
    waiting = fetched(client, address)
    paper = KeptPaper.objects.get()

    assert waiting.status_code == 202
    assert "The paper is being printed" in waiting.content.decode()
    assert '<meta http-equiv="refresh" content="2">' in waiting.content.decode()
    assert paper.state == PaperState.MAKING
    long.assert_called_once()
    assert fetched(client, address).status_code == 202
    long.assert_called_once()

    call_command("print_paper", paper.pk)

    assert fetched(client, address).body.startswith(b"%PDF")


def test_second_long_sheet_waits_for_the_first(client, address, printed, long):
    fetched(client, address)
    other = fetched(client, address, {"paper": "a5"})

    assert "Another paper is being printed" in other.content.decode()
    long.assert_called_once()


def test_failure_is_said_and_can_be_tried_again(client, address, printed, long, monkeypatch):
    fetched(client, address)
    paper = KeptPaper.objects.get()
    monkeypatch.setattr(making, "_in_a_process", lambda key: "MemoryError")
    monkeypatch.setattr(making.connection, "close", lambda: None)
    making._watch(paper.pk)

    page = fetched(client, address).content.decode()
    assert "The paper could not be printed" in page
    assert "MemoryError" in page
    assert "refresh" not in page

    assert client.post(address, follow=True).status_code == 202
    assert long.call_count == 2


def test_process_that_died_holds_nothing_up(client, address, printed, long):
    fetched(client, address)
    KeptPaper.objects.update(started_at=timezone.now() - LONGEST - timedelta(seconds=1))

    page = fetched(client, address).content.decode()

    assert "took longer than five minutes" in page


def test_sheet_that_changed_while_it_waited_is_left_for_its_new_hash(
    client, address, printed, long, song
):
    fetched(client, address)
    song.note = "Half a tone lower."
    song.save()

    call_command("print_paper", KeptPaper.objects.get().pk)

    assert not KeptPaper.objects.exists()
    printed.assert_not_called()


def test_process_says_what_it_complained_of():
    assert "invalid int value" in making._in_a_process("no number")


def test_kept_sheet_says_when_it_was_made(client, address):
    pdf = fetched(client, address).body

    made_at = timezone.localtime(KeptPaper.objects.get().made_at)
    assert f"Made on {made_at:%a} {made_at.day} {made_at:%b %Y, %H:%M}" in text_of(pdf)
