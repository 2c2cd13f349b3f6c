"""One fault after the other while people work: clear answers, recovery without hands, nothing lost."""

import http.client
import random
import threading
import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from threading import Event, Thread
from urllib.parse import urlencode

from django.urls import reverse

from sessions.letters.models import Letter
from sessions.rooms.models import HouseRules
from sessions.tasks.models import Worker
from studio.roles import Role
from tests.measure.faults.things import NotHere, Things, clock_to_set, small_disk
from tests.measure.load.browser import Answer, Browser, Unexpected
from tests.measure.load.deeds import AtWork
from tests.measure.load.kept import finish_what_waits, wrong
from tests.measure.load.killed import at_work, post_office
from tests.measure.load.processes import Processes
from tests.measure.web import HOST

ROLES = [Role.MANAGER, Role.ENGINEER] * 2
SERVING = 2  # processes of 8 threads
WRITERS = 20  # more than there are threads
FIRST = 12  # seconds until those that wait to write leave threads to readers (studio/writers.py)
READ_WITHIN = 12.0  # seconds: where those that waited a minute give up, others take their places
BACK_WITHIN = 60  # seconds until everybody has done something again
PATIENCE = 100  # seconds for one answer; a writer waits for 60
AWAY = (503, 507)
TO_COME = "This day is to come"


class Away(OSError):
    """Told so by a page: it is sent again as it was."""


@dataclass
class Patient(Browser):
    """Sends again what was answered by 503, as its page offers it, and counts that."""

    told: Counter = field(default_factory=Counter)

    def insist(self, send: Callable[[], Answer], what: str) -> Answer:
        return super().insist(lambda: self._unless_away(send), what)

    def _unless_away(self, send: Callable[[], Answer]) -> Answer:
        try:
            answer = send()
        except RuntimeError as refused:  # of an upload
            if not any(f" was answered {status}" in str(refused) for status in AWAY):
                raise
            self.told["uploads"] += 1
            raise Away from refused
        if isinstance(answer, tuple) and answer[0] == 503:
            if "Everything saved before this is safe" not in str(answer[1]):
                raise RuntimeError(f"A page that says nothing: {answer[1][:300]}")
            self.told["pages"] += 1
            raise Away
        return answer


@dataclass
class Faulted:
    """Of one fault: what readers were answered, the longest that one waited, seconds until all went on."""

    name: str
    answers: Counter = field(default_factory=Counter)
    written: Counter = field(default_factory=Counter)  # of a form that was posted meanwhile
    longest: float = 0.0
    back_after: float = 0.0
    wrong: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        if not self.answers:
            return f"{self.name}: {'; '.join(self.wrong) or 'not tried'}"
        read, written = (
            ", ".join(f"{n} of {status}" for status, n in sorted(each.items()))
            for each in (self.answers, self.written)
        )
        return (
            f"{self.name}: read {read}, at most {self.longest:.1f} s; posted {written}; "
            f"all went on after {self.back_after:.1f} s" + "".join(f"\n    {w}" for w in self.wrong)
        )


@dataclass
class Proof:
    faults: list[Faulted]
    deeds: Counter
    told: int
    again: int
    wrong: list[str]

    @property
    def holds(self) -> bool:
        return not self.wrong and not any(fault.wrong for fault in self.faults)

    def __str__(self) -> str:
        found = "; ".join(self.wrong) or "nothing lost, half saved or doubled, no stray file"
        done = ", ".join(f"{name} {n}" for name, n in sorted(self.deeds.items()))
        said = f"{self.deeds.total()} acknowledged: {done}; told 503 {self.told} times, sent again {self.again}"
        return "\n".join([*map(str, self.faults), said, found, f"holds            {self.holds}"])


def prove(seconds: int, seed: int) -> Proof:
    """Each fault lasts so many seconds. The database is spoiled."""
    with small_disk(), clock_to_set() as clock, post_office() as post:
        # A clock a day ahead is a day in which nobody did anything: people would sign in again.
        HouseRules.to_edit()
        HouseRules.objects.update(idle_hours=0)
        with Processes(SERVING) as studio:
            people = at_work(ROLES, studio.port, seed)
            for each in people:
                mine = each.browser
                each.browser = Patient(mine.port, mine.headers, mine.chance)
            team = Team(people)
            faults, said = _one_after_the_other(Things(studio, post, clock), team, seconds, seed)
        Worker.objects.all().delete()  # all were killed, whether or not their parents noticed
        for _ in range(2):  # what its last sweep found to be measured yet is measured in the second
            finish_what_waits()
        told = sum(each.browser.told.total() for each in people)
        again = sum(each.browser.again for each in people)
        # What failed for want of a disk is asked for again: a paper by its page, a sound every hour.
        found = [each for each in wrong(people, post) if not each.endswith("tasks are failed")]
        return Proof(faults, team.deeds, told, again, [*said, *found])


def _one_after_the_other(world: Things, team: "Team", seconds: int, seed: int):
    """What is found of each fault, and what those who worked met with."""
    with ThreadPoolExecutor(len(team.people)) as pool:
        works = [pool.submit(team.work, each) for each in team.people]
        try:
            team.wait_for_all(works)
            faults = [_fault(name, world, team, works, seconds) for name in _order(seed)]
            _wait_for_letters(seconds)
        finally:
            team.over.set()
    return faults, [error for work in works for error in work.result()]


def _order(seed: int) -> list[str]:
    names = ["held", "read_only", "gone", "full", "set_back", "set_ahead", "no_mail"]
    return random.Random(seed).sample(names, len(names))


class Team:
    def __init__(self, people: list[AtWork]):
        self.people, self.over, self.deeds = people, Event(), Counter()
        self.done = Counter()  # by person
        self._lock = threading.Lock()

    def work(self, person: AtWork) -> list[str]:
        """One thing after the other; what went wrong."""
        manager = person.desk.user.role == Role.MANAGER
        all_of_it = person.IN_CONTROL_ROOM + person.IN_OFFICE * manager
        while not self.over.is_set():
            for deed in person.chance.sample(all_of_it, len(all_of_it)):
                if self.over.is_set():
                    break
                try:
                    deed(person)
                except Unexpected as said:
                    if TO_COME in str(said):  # a form that was opened by a clock a day ahead
                        continue
                    return [f"{person.desk.user}: {deed.__name__}: {said}"]
                except Exception as error:
                    return [f"{person.desk.user}: {deed.__name__}: {type(error).__name__} {error}"]
                with self._lock:
                    self.deeds[deed.__name__] += 1
                    self.done[person.desk.user.pk] += 1
        return []

    def wait_for_all(self, works) -> float:
        """Until everybody has done something more; how long that took."""
        began, before = time.monotonic(), self.done.copy()
        while time.monotonic() < began + BACK_WITHIN + 60:
            if any(work.done() for work in works):
                break
            if all(self.done[key] > before[key] for key in (e.desk.user.pk for e in self.people)):
                break
            time.sleep(0.1)
        return time.monotonic() - began


def _fault(name: str, world: Things, team: Team, works, seconds: float) -> Faulted:
    found, over = Faulted(name), Event()
    writers = WRITERS if name == "held" else 1
    headers = team.people[0].browser.headers
    try:
        with getattr(world, name)():
            readers = [Thread(target=_read, args=(world, headers, found, over)) for _ in range(2)]
            crowd = [
                Thread(target=_write, args=(world, headers, found, over)) for _ in range(writers)
            ]
            for thread in readers + crowd:
                thread.start()
            time.sleep(seconds)
            over.set()
            for thread in readers:
                thread.join()
        for thread in crowd:
            thread.join()
    except NotHere as why:
        return Faulted(f"{name}: not tried, {why}")
    found.back_after = team.wait_for_all(works)
    if found.back_after > BACK_WITHIN:
        found.wrong.append("it did not go on without hands")
    if name in ("held", "read_only", "set_back", "set_ahead", "no_mail"):
        if set(found.answers) - {200}:
            found.wrong.append("not every page was shown")
    elif set(found.answers) - {200, 503}:
        found.wrong.append("answered neither by the page nor in words")
    if set(found.written) - ({503} if name == "read_only" else {302, 503}):
        found.wrong.append("a form was answered neither by what it does nor in words")
    if found.longest > READ_WITHIN and name == "held":
        found.wrong.append("readers waited")
    return found


def _read(world: Things, headers: dict, found: Faulted, over: Event) -> None:
    """Lists and pages, one after the other, from when on those that wait to write are at their places."""
    began = time.monotonic()
    pages = [
        reverse("home"),
        reverse("clients:list"),
        reverse("songs:list"),
        reverse("bookings:list"),
    ]
    while not over.is_set():
        for page in pages:
            asked = time.monotonic()
            status = _status(world.port, "GET", page, headers)
            if asked - began > FIRST or found.name != "held":
                found.longest = max(found.longest, time.monotonic() - asked)
            found.answers[status] += 1
            if over.wait(0.2):
                return


def _write(world: Things, headers: dict, found: Faulted, over: Event) -> None:
    form = {"theme": "dark", "next": "/"}
    while not over.is_set():
        found.written[_status(world.port, "POST", reverse("theme"), headers, form)] += 1
        over.wait(1)


def _status(port: int, method: str, address: str, headers: dict, form: dict | None = None) -> int:
    """0 where there was no answer."""
    web = http.client.HTTPConnection(HOST, port, timeout=PATIENCE)
    typed = {"Content-Type": "application/x-www-form-urlencoded"} if form else {}
    try:
        web.request(method, address, urlencode(form or {}), headers | typed)
        answer = web.getresponse()
        answer.read()
        if answer.status == 503 and "Retry-After" not in answer.headers:
            return 500
        return answer.status
    except (OSError, http.client.HTTPException):
        return 0
    finally:
        web.close()


def _wait_for_letters(seconds: int) -> None:
    """A letter that the mail server was not there for is tried again every five minutes."""
    until = time.monotonic() + (330 if seconds > 60 else 0)
    while time.monotonic() < until and Letter.objects.waiting().exclude(error="").exists():
        time.sleep(1)
