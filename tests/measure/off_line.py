"""Takes logged on two tablets through networks that are cut, a server that is killed and a browser that
is closed, every press twice and every request twice: what is there afterwards."""

import random
import socket
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from threading import Thread

from django.conf import settings
from django.core.management import call_command
from django.db import connections
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.models import Status
from sessions.takes.models import Mark, Take, What
from studio.roles import Role
from tests.browser.browsing import FLAGS, chromium, sign_in, wait_until_kept
from tests.browser.network import Line, Network
from tests.factories import (
    PASSWORD,
    ChainFactory,
    PartFactory,
    RecordingSessionFactory,
    RevisionFactory,
    SetupFactory,
    SongFactory,
    UserFactory,
)
from tests.measure.web import HOST, served, signed_in

KEYS = {Mark.COMPLETE: "c", Mark.FALSE_START: "f", Mark.HOLD: "h", Mark.NO_GOOD: "n"}
EVENTS = ["close", "kill", "cut"]  # over and over; a browser is closed while its network is cut
EACH = 4  # takes between the beginnings of two events
AWAY = 3  # takes that are logged before what is away comes back
SOON = timedelta(seconds=15)  # from when a press is sent until it arrives, on a busy machine
PATIENCE = 120_000  # ms


@dataclass
class Verdict:
    """How many takes were pressed, what happened meanwhile, and what is not there as it was pressed."""

    takes: int
    events: list[str]
    wrong: list[str]

    @property
    def holds(self) -> bool:
        return not self.wrong

    def __str__(self) -> str:
        happened = ", ".join(self.events)
        return f"{self.takes} takes through {happened}\nwrong            {self.wrong}\nholds            {self.holds}"


def log_takes(count: int, seed: int) -> Verdict:
    from playwright.sync_api import sync_playwright

    call_command("collectstatic", interactive=False, verbosity=0)
    chance = random.Random(seed)
    address, tablets = _set_up()
    connections.close_all()  # the servers open their own
    with sync_playwright() as playwright, ExitStack() as stack:
        studio = Studio(stack)
        for tablet in tablets:
            tablet.begin(playwright, studio, address)
        events = _log_all(count, chance, studio, tablets)
        left = [each for tablet in tablets for each in tablet.left()]
        for tablet in tablets:
            tablet.close()
    return Verdict(count, events, left + _differences(count, tablets))


def _log_all(count: int, chance: random.Random, studio: "Studio", tablets: list["Tablet"]) -> list:
    """Each take on one of the tablets; something happens to one of them or both every few takes."""
    happened, hit = [], []
    for number in range(count):
        if number % EACH == 1:
            for tablet in tablets:  # else a busy machine only adds to what waits
                tablet.left()
            event = EVENTS[number // EACH % len(EVENTS)]
            hit = chance.choice([tablets, tablets[:1], tablets[1:]])
            happened.append(event)
            studio.kill() if event == "kill" else [tablet.network.cut() for tablet in hit]
        chance.choice(tablets).log_take(chance)
        if number % EACH == 2 and event == "close":
            hit[0].restart()
        if number % EACH == AWAY:
            studio.start() if event == "kill" else [tablet.network.mend() for tablet in hit]
    for tablet in tablets:
        tablet.network.mend()
    if not studio.port:
        studio.start()
    return happened


def _set_up() -> tuple[str, list["Tablet"]]:
    """A session under way, and two people who record a part each of one song."""
    now = timezone.now()
    session = RecordingSessionFactory(
        status=Status.UNDER_WAY,
        starts_at=now - timedelta(hours=1),
        ends_at=now + timedelta(hours=8),
    )
    setup, song = SetupFactory(session=session), SongFactory(project=session.project)
    tablets = []
    for user_name, name in (("ulric", "Lead vocal"), ("piran", "Bass")):
        UserFactory(username=user_name, role=Role.ENGINEER)
        part = PartFactory(song=song, name=name)
        RevisionFactory(chain=ChainFactory(setup=setup, part=part, track=name))
        query = f"?song={song.pk}&setup={setup.pk}&part={part.pk}"
        tablets.append(Tablet(user_name, part.pk, query))
    return reverse("takes:session", args=[session.pk]), tablets


# --- what they work with ------------------------------------------------------------------------


class Studio:
    """A server that may be killed and started again, elsewhere; lines lead to wherever it is."""

    def __init__(self, stack: ExitStack):
        self.stack, self.lines, self.port = stack, [], 0
        self.start()
        signed_in(self.port, "ulric")  # it answers

    def start(self) -> None:
        self.port, self.kill_server = self.stack.enter_context(served())
        for line in self.lines:
            line.studio = HOST, self.port

    def kill(self) -> None:
        self.kill_server()
        self.port = 0

    def line(self) -> Network:
        line = self.stack.enter_context(Network(f"http://{HOST}:{self.port}", Twice))
        self.lines.append(line)
        Thread(target=line.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True).start()
        return line


class Twice(Line):
    """Brings every press to the studio twice, at the same moment."""

    def asked(self) -> Iterator[bytes]:
        with self.request.makefile("rb") as sent:
            while first := sent.readline():
                head = b"".join(iter(sent.readline, b"\r\n"))
                length = int(dict(_headers(head)).get("content-length", 0))
                request = first + head + b"\r\n" + sent.read(length)
                if b"/takes/presses/" in first:
                    Thread(target=self._again, args=(request,), daemon=True).start()
                yield request

    def _again(self, request: bytes) -> None:
        with suppress(OSError), socket.create_connection(self.server.studio) as studio:
            studio.sendall(request)
            studio.recv(65536)


def _headers(head: bytes) -> Iterator[tuple[str, str]]:
    for line in head.decode("latin-1").splitlines():
        name, _, value = line.partition(":")
        yield name.lower(), value.strip()


Between = tuple[datetime, datetime]


@dataclass
class Tablet:
    """Chromium on a profile of its own, and what was pressed on it: mark, and between which times the
    take was started and marked."""

    user_name: str
    part: int
    query: str
    pressed: list[tuple[str, Between, Between]] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def begin(self, playwright, studio: Studio, address: str) -> None:
        self.playwright, self.network, self.address = playwright, studio.line(), address
        self._open()
        sign_in(self.page, self.user_name, PASSWORD)
        self.page.goto(address + self.query)
        wait_until_kept(self.page)

    def _open(self) -> None:
        self.context = self.playwright.chromium.launch_persistent_context(
            Path(settings.DATA_DIR) / self.user_name,
            executable_path=chromium(),
            args=FLAGS,
            base_url=self.network.address,
        )
        self.context.set_default_timeout(PATIENCE)
        self.context.on("weberror", lambda error: self.errors.append(str(error.error)))
        self.page = self.context.pages[0]

    def close(self) -> None:
        self.context.close()

    def restart(self) -> None:
        self.close()
        self._open()
        self.page.goto(self.address + self.query)

    def log_take(self, chance: random.Random) -> None:
        mark = chance.choice(list(KEYS))
        started = self._press("t", "[data-tracking].rolling")
        marked = self._press(KEYS[mark], "[data-tracking]:not(.rolling)")
        self.pressed.append((mark, started, marked))

    def _press(self, key: str, then: str) -> Between:
        self.page.wait_for_selector("[data-ready]")
        before = datetime.now(UTC) - timedelta(milliseconds=1)  # a device's clock shows whole ones
        self.page.keyboard.press(key)
        self.page.keyboard.press(key)
        self.page.wait_for_selector(then)
        return before, datetime.now(UTC)

    def left(self) -> list[str]:
        """What is still not on the server after a while, in the page's words; there must be none."""
        from playwright.sync_api import TimeoutError

        try:
            self.page.wait_for_selector("#waiting", state="hidden")
        except TimeoutError:
            return [*self.errors, f"{self.user_name} sees: {self.page.inner_text('#waiting')}"]
        return self.errors


def _differences(count: int, tablets: list[Tablet]) -> list[str]:
    """What is not as it was pressed."""
    takes = list(Take.objects.order_by("number").prefetch_related("take_parts", "presses"))
    numbers = [take.number for take in takes]
    wrong = [] if numbers == list(range(1, count + 1)) else [f"numbers are {numbers}"]
    for tablet in tablets:
        theirs = [take for take in takes if take.take_parts.get().part_id == tablet.part]
        if len(theirs) != len(tablet.pressed):
            wrong.append(f"{tablet.user_name} has {len(theirs)} of {len(tablet.pressed)}")
        for take, pressed in zip(theirs, tablet.pressed, strict=False):
            wrong += [f"{tablet.user_name}, {take}: {each}" for each in _differs(take, *pressed)]
    return wrong


def _differs(take: Take, mark: str, started: Between, marked: Between) -> Iterator[str]:
    if take.take_parts.get().mark != mark:
        yield f"{take.take_parts.get().mark} in place of {mark}"
    for what, happened, (before, after) in (
        (What.START, take.started_at, started),
        (What.MARK, take.ended_at, marked),
    ):
        press = take.presses.filter(what=what).first()
        if press is None:
            yield f"no {what}"
        elif not before <= press.pressed_at <= after:
            yield f"{what} pressed at {press.pressed_at}, not from {before} to {after}"
        elif not press.pressed_at - SOON / 1000 <= happened <= press.pressed_at + SOON:
            yield f"{what} happened at {happened}, pressed at {press.pressed_at}"
