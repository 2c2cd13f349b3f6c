"""Workers that are killed while they make a sheet: every sheet is made in the end, and once."""

import random
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass

from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from sessions.papers.stored.drafts import draft_of
from sessions.papers.stored.making import want
from sessions.papers.stored.models import StoredPaper
from sessions.papers.stored.upkeep import add_ahead
from sessions.recall.sheet.stored import RECALL_SHEET
from sessions.songs.models import Song
from sessions.tasks.models import Worker
from tests.measure.fill.house import furnish
from tests.measure.recall import recorded_song
from tests.measure.web import HOST, working

SONGS = 3
PATIENCE = 120  # seconds until a worker must have begun
LONGEST_LIFE = 2  # seconds that it goes on after it began, at most: a sheet takes about as long


@dataclass(frozen=True)
class Killed:
    kills: int
    in_the_middle: int
    not_as_it_should_be: list[str]

    @property
    def holds(self) -> bool:
        return not self.not_as_it_should_be

    def __str__(self) -> str:
        found = "; ".join(self.not_as_it_should_be) or "every sheet made, none twice, no task left"
        return f"{self.kills} workers killed, {self.in_the_middle} with a sheet half made: {found}"


def kill_makers(kills: int, seed: int) -> Killed:
    chance = random.Random(seed)
    house = furnish(rooms=1, chains=1)
    songs = [recorded_song(house, 1) for _ in range(SONGS)]
    add_ahead(RECALL_SHEET, Song.objects.all(), opened_at=f"http://{HOST}/")
    in_the_middle = 0
    for number in range(kills):
        song = chance.choice(songs)
        song.note = f"As of change {number}."
        song.save()
        want(StoredPaper.objects.filter(subject=song.pk))
        with working():
            _wait_until_begun()
            time.sleep(chance.uniform(0, LONGEST_LIFE))
        in_the_middle += DBTaskResult.objects.running().exists()
    want(StoredPaper.objects.all())
    subprocess.run([sys.executable, "-m", "django", "work", "--once"], check=True)
    return Killed(kills, in_the_middle, list(_wrong()))


def _wait_until_begun() -> None:
    until = time.monotonic() + PATIENCE
    alive = Worker.objects.alive
    while time.monotonic() < until:
        names = {worker.name for worker in alive()}
        if any(set(each.worker_ids) & names for each in DBTaskResult.objects.all()):
            return
        time.sleep(0.02)
    raise RuntimeError(f"No worker began within {PATIENCE} seconds.")


def _wrong():
    """What does not hold, in words."""
    papers = list(StoredPaper.objects.all())
    for subject, count in Counter(paper.subject for paper in papers).items():
        if count > 1:
            yield f"the sheet of song {subject} stands there {count} times"
    if len(papers) != SONGS:
        yield f"{len(papers)} sheets of {SONGS} songs"
    for paper in papers:
        draft = draft_of(paper, RECALL_SHEET.subjects.get(pk=paper.subject))
        if paper.error or paper.key != draft.key or not paper.file.read().startswith(b"%PDF"):
            yield f"{paper} is not what it should be: {paper.error}"
    for status, count in Counter(DBTaskResult.objects.values_list("status", flat=True)).items():
        if status != TaskResultStatus.SUCCESSFUL:
            yield f"{count} tasks are {status.lower()}"
    if Worker.objects.alive():
        yield "a dead worker is alive"
