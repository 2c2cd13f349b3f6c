"""Papers are made anew before anybody asks, once what they print has been left alone for a while."""

from datetime import timedelta
from unittest.mock import Mock

import pytest
import time_machine
from django.urls import reverse

from sessions.papers.stored import making
from sessions.papers.stored.models import StoredPaper
from sessions.recall.sheet.stored import RECALL_SHEET, RECALL_SHEET_OF_PART
from sessions.setups.chains.actions.revisions import open_revision
from sessions.takes.actions import circle_parts, mark_take
from sessions.tasks.models import Worker
from studio.working.regular import RegularWork
from studio.working.worker import StudioWorker
from tests.factories import (
    TEN_O_CLOCK,
    ControlFactory,
    PartFactory,
    ProjectFactory,
    StageFactory,
    TakeFactory,
)
from tests.sessions.recall.recorded import chain_of, record
from tests.sessions.takes.seen import seen

pytestmark = pytest.mark.django_db
SECOND = timedelta(seconds=1)
ADDRESS = "https://studio.example/songs/{}/recall-sheet/"


@pytest.fixture
def clock():
    with time_machine.travel(TEN_O_CLOCK, tick=False) as clock:
        yield clock


@pytest.fixture
def printed(monkeypatch):
    press = Mock(return_value=b"%PDF")
    monkeypatch.setattr(making, "render_pdf", press)
    return press


@pytest.fixture
def go_on(clock):
    """`go_on(5)`: five seconds pass, in each of which the worker looks for work."""
    worker, regular = StudioWorker(), RegularWork()
    Worker.objects.sign(worker.worker_id)

    def pass_time(seconds):
        for _ in range(seconds):
            clock.shift(SECOND)
            Worker.objects.sign(worker.worker_id)
            while worker._turn(regular):
                pass

    return pass_time


def circle(take, circled=True):
    take.refresh_from_db()
    circle_parts(take, seen=seen(take), circled=circled)


def recorded_song(name="Lead vocal", **facts):
    part = PartFactory(name=name, **facts)
    chain = chain_of(part)
    ControlFactory(panel=StageFactory(revision=chain).panel, key="gain")
    record(TakeFactory(part=part, circled=True, number=1), chain)
    TakeFactory(part=part, session=chain.chain.setup.session, number=2)
    return part.song


@pytest.fixture
def song(clock):
    return recorded_song()


@pytest.fixture
def sheet(song, printed, go_on):
    paper = StoredPaper.objects.create(
        kind=RECALL_SHEET.path, subject=song.pk, size="a4", address=ADDRESS.format(song.pk)
    )
    making.want(StoredPaper.objects.all())
    go_on(20)
    assert printed.call_count == 1
    printed.reset_mock()
    return paper


def test_sheet_is_made_anew_ten_seconds_after_another_take_was_chosen(sheet, song, printed, go_on):
    circle(song.takes.get(number=2))
    go_on(9)
    printed.assert_not_called()

    go_on(4)

    assert printed.call_count == 1
    assert printed.call_args.kwargs["printed_at"] >= TEN_O_CLOCK + 20 * SECOND


def test_sheet_is_made_anew_when_gear_on_it_changes(sheet, song, printed, go_on):
    unit = song.takes.get(number=1).revisions.get().stages.get().unit
    unit.state = "bench"
    unit.save()
    go_on(13)

    assert printed.call_count == 1


def test_change_that_is_not_on_the_sheet_prints_nothing(sheet, song, printed, go_on):
    take = song.takes.get(number=2)
    mark_take(take, seen=seen(take), mark="breakdown")
    go_on(30)

    printed.assert_not_called()


def test_fifty_changes_of_settings_and_choices_in_a_minute_make_one_sheet(
    sheet, song, printed, go_on, engineer
):
    take, stage = song.takes.get(number=2), song.takes.get(number=1).revisions.get().stages.get()
    chain = stage.revision.chain
    for number in range(50):
        if number % 2:
            circle(take, not take.take_parts.get().circled)
        else:
            stage = open_revision(chain, by=engineer).stages.get()
            stage.settings = {"gain": number}
            stage.save()
        go_on(number % 3)  # 49 seconds in all
    circle(take)
    go_on(60)

    assert 1 <= printed.call_count <= 3
    paper = StoredPaper.objects.get()
    assert paper.made_at >= take.history.latest().history_date


def test_song_is_made_ready_that_nobody_asked_for_yet(sheet, song, printed, go_on):
    another = recorded_song("Fiddle", song__project=song.project)
    ProjectFactory()
    go_on(13)

    paper = StoredPaper.objects.get(subject=another.pk)
    assert paper.file
    assert paper.address == f"https://studio.example{reverse('recall:song', args=[another.pk])}"


def test_sheets_of_parts_are_made_anew_but_never_ahead(sheet, song, printed, go_on):
    part = song.parts.get()
    PartFactory(song=song, name="Fiddle")
    paper = StoredPaper.objects.create(
        kind=RECALL_SHEET_OF_PART.path,
        subject=part.pk,
        size="a4",
        address=f"https://studio.example{reverse('recall:part', args=[part.pk])}",
    )
    circle(song.takes.get(number=2))
    go_on(13)

    paper.refresh_from_db()
    assert paper.file
    assert StoredPaper.objects.filter(kind=RECALL_SHEET_OF_PART.path).get() == paper


def test_song_without_a_chosen_take_is_not_made_ready(sheet, song, printed, go_on):
    TakeFactory(part__song__project=song.project)
    go_on(13)

    assert StoredPaper.objects.get() == sheet
    printed.assert_not_called()
