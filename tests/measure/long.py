"""What takes hours; `.ci/run` runs a share of it. Its seed says what happens where nothing but chance
decides: a part that fails is run again by its seed."""

import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass


@dataclass(frozen=True)
class Part:
    """`run(count, seed)` gives what it found; of the count, CI runs the share: a minute at most for
    all that one issue has here."""

    run: Callable[[int, int], object]
    count: int
    share: int
    what: str  # is counted


def _race(seconds: int, seed: int):
    from tests.measure.race import race

    return race(writers=32, seconds=seconds, heats=1, http=False, seed=seed)


def _kill(heats: int, seed: int):
    from tests.measure.race import race

    return race(writers=16, seconds=5 * heats, heats=heats, http=True, seed=seed)


def _papers(kills: int, seed: int):
    from tests.measure.papers import kill_makers

    return kill_makers(kills, seed)


def _fuzz(count: int, seed: int):
    from tests.fuzzing import fuzz

    return fuzz(count, seed)


def _access(count: int, seed: int):
    from tests.access_walk import walk

    return walk(count, seed)


def _faults(seconds: int, seed: int):
    from tests.measure.faults.proof import prove

    return prove(seconds, seed)


def _files(count: int, seed: int):
    from tests.sessions.takes.files.damage import read_damaged

    return read_damaged(count, seed)


def _takes(count: int, seed: int):
    from tests.measure.off_line import log_takes

    return log_takes(count, seed)


def _uploads(mebibytes: int, seed: int):
    from tests.measure.uploads import upload

    return upload(mebibytes, seed)


def _sheets(count: int, seed: int):
    from tests.measure.sheets import import_hostile

    return import_hostile(count, seed)


def _letters(count: int, seed: int):
    from tests.measure.letters.proof import prove

    return prove(count, seed)


def _money(count: int, seed: int):
    from tests.measure.money.proof import prove

    return prove(count, seed)


def _killed(seconds: int, seed: int):
    from tests.measure.load.killed import kill_at_work

    return kill_at_work(seconds, seed)


def _people(seconds: int, seed: int):
    from tests.measure.load.people import work_together

    return work_together(seconds, seed)


def _tones(count: int, seed: int):
    from tests.measure.proving.tones import prove

    return prove(count, seed)


def _backup(seconds: int, seed: int):
    from tests.measure.load.carried import carry

    return carry(seconds, seed)


def _proving(count: int, seed: int):
    from tests.measure.proving.recordings import prove

    return prove(count, seed)


def _sections(count: int, seed: int):
    from tests.measure.proving.short import prove

    return prove(count, seed)


def _mistaken(count: int, seed: int):
    from tests.measure.proving.mistaken import prove

    return prove(count, seed)


def _proposals(count: int, seed: int):
    from tests.measure.proposals.judging import prove

    return prove(count, seed)


def _recorded(count: int, seed: int):
    from tests.measure.proposals.recorded import prove

    return prove(count, seed)


PARTS = {
    "backup": Part(
        _backup, 60, 3, "seconds of work, backed up, carried to the other engine and on"
    ),
    "fuzz": Part(_fuzz, 20_000, 500, "crafted requests to all pages and forms"),
    "access": Part(_access, 100_000, 300, "pages by role, method and whose row it is, at most"),
    "faults": Part(_faults, 70, 1, "seconds that each fault lasts while people work"),
    "race": Part(_race, 600, 6, "seconds in which 32 writers book the same things"),
    "kill": Part(_kill, 100, 2, "times that a server is killed while 16 clients book"),
    "files": Part(_files, 2_000, 200, "damaged sound files whose headers are read"),
    "takes": Part(_takes, 60, 4, "takes logged off line, on two tablets"),
    "letters": Part(_letters, 500, 40, "changes of bookings, and what calendars are told of them"),
    "money": Part(_money, 1_000, 60, "things done with charges, invoices and payments"),
    "papers": Part(_papers, 20, 3, "times that a worker is killed while it makes a sheet"),
    "sheets": Part(_sheets, 300, 20, "hostile files imported as recall sheets"),
    "tones": Part(_tones, 2_000, 12, "recordings of three tones, right ones and mistaken ones"),
    "killed": Part(_killed, 300, 3, "seconds of mixed work, in which anything is killed"),
    "people": Part(_people, 1_200, 4, "seconds in which thirty people work"),
    "proving": Part(_proving, 200, 30, "whole returns of a test file through simulated chains"),
    "sections": Part(
        _sections, 3_000, 20, "stairs, bursts and silences of simulated chains, alone"
    ),
    "mistaken": Part(_mistaken, 500, 12, "wrong, foreign and damaged returns of a test file"),
    "proposals": Part(_proposals, 2_400, 24, "chains in which it is known what was moved"),
    "recorded": Part(_recorded, 70, 2, "of them through whole recordings"),
    "uploads": Part(_uploads, 2048, 32, "MiB uploaded over a bad line, and by eight at once"),
}


def measure(parts: list[str], count: int | None, share: bool, seed: int) -> Iterator[object]:
    """One part, on the database of this process."""
    [name] = parts
    part = PARTS[name]
    count = count or (part.share if share else part.count)
    yield f"long {name} --count {count} --seed {seed}: {count} {part.what}"
    yield part.run(count, seed)


def measure_each(parts: list[str], count: int | None, share: bool, seed: int) -> bool:
    """Each in a process with a database of its own. Whether all hold."""
    command = [sys.executable, "-m", "tests.measure", "long", f"--seed={seed}"]
    command += [f"--count={count}"] * bool(count) + ["--share"] * share
    return not sum(subprocess.call([*command, part]) for part in parts or PARTS)
