"""The race: many writers at once, killed in the middle of it, twice; and what is there afterwards.

    DATABASE_URL=… python -m studio.bench.racing '{"processes": 16, "seconds": 30, "http": false}'

Prints the verdict as a line of JSON. The database is spoiled.
"""

import json
import os
import signal
import subprocess
import sys
import time
from dataclasses import asdict, dataclass, field
from pathlib import Path

import django

HEATS = 2  # all writers are killed at the end of each, in the middle of their writing
BEYOND = 60  # seconds more than a writer would ever run: it ends by being killed


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


def main(processes: int, seconds: float, http: bool) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "studio.settings"  # as the server has it
    django.setup()
    from studio.bench.prize import Prize
    from studio.bench.web_racing import run_web_heat

    Prize.put_up()
    run_heat = run_web_heat if http else run_heat_of_processes
    notes = [
        run_heat(processes, seconds / HEATS, Path(os.environ["DATA_DIR"]) / f"heat{number}")
        for number in range(HEATS)
    ]
    sys.stdout.write(json.dumps(as_json(judge([note for heat in notes for note in heat]))) + "\n")


def as_json(verdict: Verdict) -> dict:
    return asdict(verdict) | {"holds": verdict.holds}


def run_heat_of_processes(processes: int, seconds: float, folder: Path) -> list[str]:
    """The answers of each writer, one text a writer."""
    folder.mkdir()
    files = [folder / f"{number}.txt" for number in range(processes)]
    racers = [_start(file, number, seconds) for number, file in enumerate(files)]
    try:
        for racer in racers:
            if racer.stdout.readline() != "ready\n":
                raise RuntimeError("A racer did not start; what it said stands above.")
        for racer in racers:
            racer.stdin.write("go\n")
            racer.stdin.flush()
        time.sleep(seconds)
    finally:
        for racer in racers:
            racer.send_signal(signal.SIGKILL)
        for racer in racers:
            racer.communicate()
    if any(racer.returncode != -signal.SIGKILL for racer in racers):
        raise RuntimeError("A racer ended by itself: nobody was killed in the middle.")
    return [file.read_text() for file in files]


def _start(file: Path, number: int, seconds: float) -> subprocess.Popen:
    wish = {"seed": f"{file}", "seconds": seconds + BEYOND, "answers": str(file)}
    return subprocess.Popen(
        [sys.executable, "-m", "studio.bench.racer", json.dumps(wish)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def judge(notes: list[str]) -> Verdict:
    """Hold what the writers noted against the table. `unheard` sessions are in the table without
    an answer: each of their writers was killed between the commit and the note."""
    from studio.bench.prize import gaps, overlaps, standing

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


if __name__ == "__main__":
    main(**json.loads(sys.argv[1]))
