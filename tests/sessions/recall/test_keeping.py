"""A sheet is made once, and again only when it says something else."""

from datetime import timedelta
from unittest.mock import Mock

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone

from sessions.recall import keeping, making, views
from sessions.recall.making import LONGEST
from sessions.recall.models import KeptPaper, PaperState
from tests.factories import PartFactory, StageFactory, TakeFactory, UnitFactory
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


@pytest.fixture
def long(monkeypatch):
    """As if the song had more chains than are made at once."""
    monkeypatch.setattr(views, "MADE_AT_ONCE", 0)
    started = Mock()
    monkeypatch.setattr(making, "Thread", started)
    return started


def test_second_time_the_kept_sheet_is_served(client, address, printed):
    first, second = client.get(address), client.get(address)

    assert printed.call_count == 1
    assert first.content == second.content
    assert first["ETag"] == second["ETag"]
    assert "no-cache" in second["Cache-Control"]
    assert client.get(address, headers={"If-None-Match": first["ETag"]}).status_code == 304


def test_kept_sheet_costs_no_more_queries_than_a_page(
    client, address, printed, django_assert_max_num_queries
):
    client.get(address)

    with django_assert_max_num_queries(5):  # who asks (2), the song, the stamp, the paper
        client.get(address)


def test_change_on_the_sheet_makes_another_and_lets_the_old_one_go(client, address, printed, song):
    old = client.get(address)
    song.note = "Half a tone lower."
    song.save()

    new = client.get(address)

    assert printed.call_count == 2
    assert new["ETag"] != old["ETag"]
    assert KeptPaper.objects.count() == 1


def test_change_elsewhere_in_the_house_keeps_the_sheet(client, address, printed):
    old = client.get(address)
    UnitFactory()

    assert client.get(address)["ETag"] == old["ETag"]
    assert printed.call_count == 1


def test_each_size_is_kept_by_itself(client, address, printed):
    tags = {client.get(address, {"paper": paper})["ETag"] for paper in ("a4", "a5", "a4")}

    assert len(tags) == printed.call_count == 2


def test_sheet_whose_file_is_gone_is_made_again(client, address, printed):
    client.get(address)
    KeptPaper.objects.get().file.delete(save=False)

    assert client.get(address, follow=True).status_code == 200
    assert printed.call_count == 2


def test_long_sheet_is_made_while_a_page_waits_for_it(client, address, printed, long):
    waiting = client.get(address)
    paper = KeptPaper.objects.get()

    assert waiting.status_code == 202
    assert "The sheet is being printed" in waiting.content.decode()
    assert '<meta http-equiv="refresh" content="2">' in waiting.content.decode()
    assert paper.state == PaperState.MAKING
    long.assert_called_once()
    assert client.get(address).status_code == 202
    long.assert_called_once()

    call_command("print_paper", paper.pk)

    assert client.get(address).content.startswith(b"%PDF")


def test_second_long_sheet_waits_for_the_first(client, address, printed, long):
    client.get(address)
    other = client.get(address, {"paper": "a5"})

    assert "Another sheet is being printed" in other.content.decode()
    long.assert_called_once()


def test_failure_is_said_and_can_be_tried_again(client, address, printed, long, monkeypatch):
    client.get(address)
    paper = KeptPaper.objects.get()
    monkeypatch.setattr(making, "_in_a_process", lambda key: "MemoryError")
    monkeypatch.setattr(making.connection, "close", lambda: None)
    making._watch(paper.pk)

    page = client.get(address).content.decode()
    assert "The sheet could not be printed" in page
    assert "MemoryError" in page
    assert "refresh" not in page

    assert client.post(address, follow=True).status_code == 202
    assert long.call_count == 2


def test_process_that_died_holds_nothing_up(client, address, printed, long):
    client.get(address)
    KeptPaper.objects.update(started_at=timezone.now() - LONGEST - timedelta(seconds=1))

    page = client.get(address).content.decode()

    assert "took longer than five minutes" in page


def test_sheet_that_changed_while_it_waited_is_left_for_its_new_hash(
    client, address, printed, long, song
):
    client.get(address)
    song.note = "Half a tone lower."
    song.save()

    call_command("print_paper", KeptPaper.objects.get().pk)

    assert not KeptPaper.objects.exists()
    printed.assert_not_called()


def test_process_says_what_it_complained_of():
    assert "invalid int value" in making._in_a_process("no number")


def test_kept_sheet_says_when_it_was_made(client, address):
    pdf = client.get(address).content

    made_at = timezone.localtime(KeptPaper.objects.get().made_at)
    assert f"Printed {made_at:%a} {made_at.day} {made_at:%B %Y, %H:%M}" in text_of(pdf)
