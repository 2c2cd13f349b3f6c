"""Many writers at once, killed in the middle of it, over and over; and what is there afterwards."""

import multiprocessing
import os
import random
import signal
import time
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field, fields
from pathlib import Path

from django.conf import settings
from django.db import connections

from tests.measure.prize import Prize, gaps, overlaps, standing
from tests.measure.web import served, signed_in
from tests.measure.writers import Actions, Forms, Writer

FORK = multiprocessing.get_context("fork")
PATIENCE = 60  # seconds until every writer must be ready, or have ended


@dataclass
class Verdict:
    """What the writers were answered, and what the table holds.

    Keys of sessions: `lost` were acknowledged and are not there, `back` were cancelled and are,
    `torn` have only a part of what they took.
    """

    booked: int = 0
    cancelled: int = 0
    clashes: int = 0
    errors: list[str] = field(default_factory=list)
    answers_of_each: list[int] = field(default_factory=list)
    longest_wait: float = 0.0
    overlaps: int = 0
    gaps: int = 0
    lost: list[int] = field(default_factory=list)
    back: list[int] = field(default_factory=list)
    torn: list[int] = field(default_factory=list)
    unheard: int = 0
    writers: int = 0

    @property
    def holds(self) -> bool:
        """Whether everything that must hold does, and there was a race at all."""
        broken = self.errors or self.overlaps or self.gaps or self.lost or self.back or self.torn
        return not broken and self.unheard <= self.writers and bool(self.booked and self.clashes)

    def __str__(self) -> str:
        rows = {each.name: getattr(self, each.name) for each in fields(self)}
        return "\n".join(
            f"{name:16} {value}" for name, value in (rows | {"holds": self.holds}).items()
        )


def measure(**wanted) -> Iterator[Verdict]:
    yield race(**wanted)


def race(*, writers: int, seconds: float, heats: int, http: bool, seed: int) -> Verdict:
    """Writers in processes of their own, which are killed at the end of every heat; with `http`,
    they send forms to a server, and that is killed. The database is spoiled."""
    prize = Prize.put_up()
    connections.close_all()  # each process opens its own
    folder = Path(settings.DATA_DIR)
    notes = []
    for number in range(heats):
        chances = [random.Random(f"{seed} {number} {each}") for each in range(writers)]
        files = [folder / f"heat-{number}-{each}.txt" for each in range(writers)]
        _heat(prize, chances, files, seconds / heats, http)
        notes += [file.read_text() for file in files]
    return judge(notes)


def _heat(prize: Prize, chances, files: list[Path], seconds: float, http: bool) -> None:
    over, ready = FORK.Event(), FORK.Barrier(len(files) + 1)
    with ExitStack() as stack:
        door = Actions(prize)
        if http:
            port, kill = stack.enter_context(served())
            door = Forms(prize, port, signed_in(port))
        writers = [
            FORK.Process(target=_write, args=(door, chance, file, over, ready), daemon=True)
            for chance, file in zip(chances, files, strict=True)
        ]
        for writer in writers:
            writer.start()
        ready.wait(PATIENCE)
        time.sleep(seconds)
        _wait_for_a_race(files)
        if http:
            over.set()
            kill()
        else:
            for writer in writers:
                os.kill(writer.pid, signal.SIGKILL)
        for writer in writers:
            writer.join(PATIENCE)
    if {writer.exitcode for writer in writers} != {0 if http else -signal.SIGKILL}:
        raise RuntimeError("A writer ended by itself; what it said stands above.")


def _wait_for_a_race(files: list[Path]) -> None:
    """On a busy machine, until somebody got something and somebody was refused."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        answers = "".join(file.read_text() for file in files)
        if "booked" in answers and "clash" in answers:
            return
        time.sleep(0.1)


def _write(door, chance: random.Random, file: Path, over, ready) -> None:
    with file.open("a", buffering=1) as notes:
        ready.wait(PATIENCE)
        Writer(door, chance, notes, over.is_set).run()


def judge(notes: list[str]) -> Verdict:
    """Hold what the writers noted against the table. `unheard` sessions are in the table without
    an answer: each of their writers was cut off between the commit and the note."""
    said = [[line.split() for line in note.split("\n")[:-1]] for note in notes]
    answers = [line for lines in said for line in lines if line[0] != "cancelling"]
    booked = {int(line[1]): int(line[2]) for line in answers if line[0] == "booked"}
    cancelled = {int(line[1]) for line in answers if line[0] == "cancelled"}
    cancelling = {int(line[1]) for lines in said for line in lines if line[0] == "cancelling"}
    there = standing()
    return Verdict(
        booked=len(booked),
        cancelled=len(cancelled),
        clashes=sum(line[0] == "clash" for line in answers),
        errors=[" ".join(line[1:-1]) for line in answers if line[0] == "error"],
        answers_of_each=sorted(sum(line[0] != "cancelling" for line in lines) for lines in said),
        longest_wait=max((float(line[-1]) for line in answers), default=0.0),
        overlaps=overlaps(),
        gaps=gaps(),
        lost=sorted(booked.keys() - cancelling - there.keys()),
        back=sorted(cancelled & there.keys()),
        torn=sorted(key for key in booked.keys() & there.keys() if booked[key] != there[key]),
        unheard=len(there.keys() - booked.keys()),
        writers=len(notes),
    )
