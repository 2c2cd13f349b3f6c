"""The studio is killed at random under mixed load, over and over; and what is there afterwards."""

import os
import random
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Event

from django.db import connections

from studio.roles import Role
from tests.mail_server import MailServer
from tests.measure.load.browser import Browser
from tests.measure.load.deeds import AtWork
from tests.measure.load.desks import desks_for
from tests.measure.load.kept import finish_what_waits, wrong
from tests.measure.load.processes import Processes

ROLES = [Role.MANAGER, Role.ENGINEER] * 4
SERVING = 2  # processes
BETWEEN = (0.5, 6.0)  # seconds from one kill to the next
TOO_SOON = 0.3  # of the kills come while others still start again
AT_MOST = 60  # seconds longer, until each kind of deed was done


@dataclass(frozen=True)
class Verdict:
    """How many of each kind were acknowledged and killed, how often something was sent again because no
    answer came, or twice at one moment, and what is not there as it was acknowledged."""

    deeds: Counter
    kills: Counter
    again: int
    at_once: int
    wrong: list[str]

    @property
    def holds(self) -> bool:
        done = all(
            self.deeds[each.__name__] for each in (*AtWork.IN_CONTROL_ROOM, *AtWork.IN_OFFICE)
        )
        return not self.wrong and done and bool(self.kills)

    def __str__(self) -> str:
        found = "; ".join(self.wrong) or "nothing lost, half saved or doubled, no stray file"
        return (
            f"{self.deeds.total()} acknowledged: {counted(self.deeds)}\n"
            f"{self.kills.total()} killed: {counted(self.kills)}; {self.again} times sent again, "
            f"{self.at_once} times twice at one moment\n{found}\nholds            {self.holds}"
        )


def counted(counter: Counter) -> str:
    return ", ".join(f"{name} {count}" for name, count in sorted(counter.items()))


def kill_at_work(seconds: float, seed: int) -> Verdict:
    """Eight people; the database is spoiled."""
    chance, over = random.Random(seed), Event()
    studio = Processes(SERVING)
    people = at_work(ROLES, studio.port, seed)
    with post_office() as post:
        with studio, ThreadPoolExecutor(len(people)) as pool:
            deeds, kills = Counter(), Counter()
            works = [pool.submit(_work, each, over, deeds) for each in people]
            try:
                _kill(studio, chance, kills, deeds, until=time.monotonic() + seconds)
                _wait_for_each_kind(deeds, works)
            finally:
                over.set()
            said = [error for work in works for error in work.result()]
            said += [f"this goes on without its keeper: {each}" for each in studio.left_alone()]
        finish_what_waits()
    again, at_once = (
        sum(getattr(each.browser, name) for each in people) for name in ("again", "at_once")
    )
    return Verdict(deeds, kills, again, at_once, [*said, *wrong(people, post)])


@contextmanager
def post_office():
    """A mail server, which the processes of the studio that are begun meanwhile write to."""
    post, before = MailServer(), os.environ["EMAIL_URL"]
    post.start()
    os.environ["EMAIL_URL"] = f"smtp://127.0.0.1:{post.port}"
    try:
        yield post
    finally:
        os.environ["EMAIL_URL"] = before
        post.stop()


def at_work(roles: list[Role], port: int, seed: int) -> list[AtWork]:
    """Somebody of each role, at a desk and signed in."""
    people = []
    for number, desk in enumerate(desks_for(roles)):
        chance = random.Random(f"{seed} {number}")
        people.append(AtWork(desk, Browser.of(desk.user, port, chance), chance))
    connections.close_all()  # the server's processes have their own
    return people


def _work(person: AtWork, over: Event, deeds: Counter) -> list[str]:
    """One thing after the other, each of them once before any comes again; what went wrong."""
    manager = person.desk.user.role == Role.MANAGER
    all_of_it = person.IN_CONTROL_ROOM + person.IN_OFFICE * manager
    while not over.is_set():
        for deed in person.chance.sample(all_of_it, len(all_of_it)):
            if over.is_set():
                break
            try:
                deed(person)
            except Exception as error:  # whatever it is, somebody would have seen it
                return [f"{person.desk.user}: {deed.__name__}: {error}"]
            deeds[deed.__name__] += 1
    return []


def _kill(studio: Processes, chance, kills: Counter, deeds: Counter, *, until: float) -> None:
    """Most come while people are at work, which on a busy machine is long after the server is back."""
    while time.monotonic() < until:
        time.sleep(chance.uniform(*BETWEEN))
        done = deeds.total()
        kind = chance.choice(list(Processes.KINDS))
        Processes.KINDS[kind](studio, chance)
        kills[kind] += 1
        if chance.random() > TOO_SOON:
            while deeds.total() == done and time.monotonic() < until:
                time.sleep(0.1)


def _wait_for_each_kind(deeds: Counter, works) -> None:
    until = time.monotonic() + AT_MOST
    kinds = {each.__name__ for each in (*AtWork.IN_CONTROL_ROOM, *AtWork.IN_OFFICE)}
    while time.monotonic() < until and kinds - deeds.keys():
        if any(work.done() for work in works):
            return
        time.sleep(0.1)
