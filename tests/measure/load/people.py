"""Thirty people at work: pages, takes, settings, uploads, bookings, papers, invoices, letters, payments."""

import re
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from itertools import chain
from statistics import median, quantiles
from threading import Event

from django.db import connection

from studio.roles import Role
from tests.measure.load.deeds import AtWork
from tests.measure.load.kept import finish_what_waits, wrong
from tests.measure.load.killed import at_work, counted, post_office
from tests.measure.load.processes import Processes
from tests.measure.load.rounds import pages_of

ROLES = [Role.MANAGER, Role.ENGINEER, Role.ASSISTANT, Role.ENGINEER, Role.MIX_ENGINEER] * 6
SERVING = {"sqlite": 1, "postgresql": 4}  # processes
THINKS = (1.0, 7.0)  # seconds between two things that somebody does
IN_A_HURRY = (0.0, 1.0)  # where there is no time for more
LONG = 300  # seconds from which on memory says something, and people take their time
READS = 0.75  # of what is done is only looked at
LOOK_EVERY = 5  # seconds, at the memory
WARM_UP = 0.3  # of the time
FLAT = 0.05
SHOWN = 6


@dataclass
class Verdict:
    """`waits` are seconds by what was asked for, `held` megabytes of the server and of its worker at
    each look."""

    people: int
    serving: int
    deeds: Counter
    waits: dict[str, list[float]]
    slowest: list[str]
    held: list[tuple[float, float]]
    is_long: bool
    errors: list[str]
    wrong: list[str] = field(default_factory=list)

    @property
    def grown(self) -> float:
        """By which share the server's memory is larger in the last third of the time after the warm-up
        than in the first."""
        server = [server for server, _ in self.held[int(len(self.held) * WARM_UP) :]]
        third = len(server) // 3
        return median(server[-third:]) / median(server[:third]) - 1 if third else 0.0

    @property
    def is_flat(self) -> bool:
        return not self.is_long or abs(self.grown) <= FLAT

    @property
    def holds(self) -> bool:
        return not self.errors and not self.wrong and self.is_flat and bool(self.deeds)

    def __str__(self) -> str:
        found = "; ".join([*self.errors[:5], *self.wrong]) or "no error, nothing lost or doubled"
        lines = [
            f"{self.people} people, {self.serving} processes, {connection.vendor}: "
            f"{counted(self.deeds)}; {len(self.errors)} errors",
            _waited("all that was asked", [*chain(*self.waits.values())]),
            *(_waited(what, seconds) for what, seconds in sorted(self.waits.items())),
            f"slowest pages by their medians: {', '.join(self.slowest)}",
            self._memory(),
            found,
            f"holds            {self.holds}",
        ]
        return "\n".join(lines)

    def _memory(self) -> str:
        server, worker = zip(*self.held, strict=True)
        said = (
            f"memory of the server at most {max(server):.0f} MB, of the worker {max(worker):.0f} MB"
        )
        if not self.is_long:
            return f"{said}; too short to say whether it grows"
        minutes = ", ".join(f"{held:.0f}" for held in server[:: 60 // LOOK_EVERY])
        return f"{said}; after the warm-up the server's changed by {self.grown:+.1%}; by the minute {minutes}"


def _waited(what: str, seconds: list[float]) -> str:
    p99 = quantiles(seconds, n=100, method="inclusive")[-1] if len(seconds) > 1 else seconds[0]
    return (
        f"{what:20} {len(seconds):6}, median {median(seconds) * 1e3:.0f} ms, "
        f"p99 {p99 * 1e3:.0f} ms, at most {max(seconds) * 1e3:.0f} ms"
    )


def work_together(seconds: float, seed: int) -> Verdict:
    """The database is spoiled."""
    over, errors, held = Event(), [], []
    serving, is_long = SERVING[connection.vendor], seconds >= LONG
    studio = Processes(serving)
    people = at_work(ROLES, studio.port, seed)
    with post_office() as post:
        with studio, ThreadPoolExecutor(len(people)) as pool:
            deeds = Counter()
            works = [pool.submit(_a_day, each, over, deeds, errors, is_long) for each in people]
            try:
                until = time.monotonic() + seconds
                while time.monotonic() < until:
                    held.append(studio.held_mb())
                    time.sleep(min(LOOK_EVERY, max(0.0, until - time.monotonic())))
            finally:
                over.set()
            for work in works:
                work.result()
        finish_what_waits()
    waits: dict[str, list[float]] = {}
    for what, each in (pair for person in people for pair in person.browser.waits.items()):
        waits.setdefault(what, []).extend(each)
    pages: dict[str, list[float]] = {}
    for address, each in (pair for person in people for pair in person.browser.pages.items()):
        pages.setdefault(re.sub(r"\d+", "n", address), []).extend(each)
    slowest = sorted(pages, key=lambda address: median(pages[address]), reverse=True)[:SHOWN]
    errors += [
        f"{person.desk.user} had no answer {person.browser.again} times"
        for person in people
        if person.browser.again
    ]
    return Verdict(
        len(people),
        serving,
        deeds,
        waits,
        [f"{address} {median(pages[address]) * 1e3:.0f} ms" for address in slowest],
        held,
        is_long,
        errors,
        list(wrong(people, post)),
    )


def _a_day(person: AtWork, over: Event, deeds: Counter, errors: list[str], is_long: bool) -> None:
    """Look, think, do. An error is noted, and the work goes on."""
    chance, pages = person.chance, pages_of(person.desk)
    over.wait(chance.uniform(*(THINKS if is_long else IN_A_HURRY)))
    while not over.is_set():
        try:
            if chance.random() < READS:
                person.browser.get(chance.choice(pages))
            else:
                deed = chance.choice(_deeds_of(person.desk.user.role))
                deed(person)
                deeds[deed.__name__] += 1
        except Exception as error:  # whatever it is, somebody would have seen it
            errors.append(f"{person.desk.user}: {type(error).__name__}: {error}")
        over.wait(chance.uniform(*(THINKS if is_long else IN_A_HURRY)))


def _deeds_of(role: Role) -> tuple:
    if role == Role.MANAGER:
        return AtWork.IN_OFFICE + (AtWork.book,)
    return (AtWork.upload,) if role == Role.MIX_ENGINEER else AtWork.IN_CONTROL_ROOM
