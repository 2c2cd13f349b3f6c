"""Uploads whose line is cut and whose server is killed, and eight at once beside people at work."""

import base64
import hashlib
import http.client
import random
import subprocess
import sys
import time
import uuid
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from itertools import cycle, islice
from pathlib import Path
from threading import Event

from django.conf import settings
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from sessions.deliverables.models import DeliverableFile, FileState
from sessions.deliverables.uploads.arriving import PIECE_BYTES
from sessions.deliverables.uploads.models import Upload
from studio.working.regular import tidy
from tests.measure.fill.house import furnish
from tests.measure.race import FORK
from tests.measure.slow import PEOPLE, Waited
from tests.measure.takes import recorded_band
from tests.measure.web import HOST, PATIENCE, ask, served, signed_in
from tests.sessions.deliverables.uploads.sending import PIECE, TUS, metadata

CUTS, KILLS = 10, 2  # of one upload, where it has pieces enough
AT_ONCE = 8
LATEST_KILL = 0.2  # seconds after a piece was sent: it is put on the disk meanwhile
PAUSE = 1.0  # seconds between two pages of one person
ALONE = 100  # MiB that stand for a second without uploads
ENOUGH = 100  # pages, of which the slowest hundredth says something

Pair = tuple[list[float], list[float]]  # seconds of people alone, and of those beside uploads


@dataclass(frozen=True)
class Uploaded:
    what: str
    alone: Waited
    beside: Waited
    not_as_it_should_be: list[str]

    @property
    def says_enough(self) -> bool:
        return len(self.beside.seconds) >= ENOUGH

    @property
    def holds(self) -> bool:
        return not self.not_as_it_should_be and (self.beside.holds or not self.says_enough)

    def __str__(self) -> str:
        found = "; ".join(self.not_as_it_should_be) or "every file whole, once, nothing left behind"
        pages = [self.alone, self.beside] if self.says_enough else ["too few pages to measure"]
        return "\n".join([f"{self.what}: {found}", *map(str, pages)])


@dataclass(frozen=True)
class Sent:
    """A file whose content a seed says, so that it need not lie anywhere."""

    seed: str
    size: int

    @cached_property
    def _block(self) -> bytes:
        return random.Random(self.seed).randbytes(PIECE_BYTES)

    @property
    def offsets(self) -> range:
        return range(0, self.size, PIECE_BYTES)

    def piece(self, at: int) -> bytes:
        """As good as random, and cheap: people who are measured share the machine."""
        return (at.to_bytes(8) + self._block[8:])[: self.size - at]

    def sha256(self) -> str:
        digest = hashlib.sha256()
        for at in self.offsets:
            digest.update(self.piece(at))
        return digest.hexdigest()


@dataclass(frozen=True)
class Client:
    """Speaks tus to one life of the server, with cookies that outlive it."""

    port: int
    cookies: dict[str, str]

    def begin(self, song, size: int, **facts) -> str:
        facts = {"filename": "day.zip", "kind": "session_archive", "batch": uuid.uuid4()} | facts
        headers = {"Upload-Length": str(size), "Upload-Metadata": metadata(**facts)}
        return self._answer("POST", reverse("uploads:create", args=[song.pk]), headers)["Location"]

    def state(self, address: str) -> tuple[int, bool]:
        """How many bytes are there, and whether the file is on record."""
        return _state(self._answer("HEAD", address))

    def send(self, address: str, piece: bytes, at: int) -> tuple[int, bool]:
        return _state(self._answer("PATCH", address, _about(piece, at), piece))

    def break_off(self, address: str, piece: bytes, at: int, *, sent: int) -> None:
        """So many bytes of the piece, and nobody waits for the answer."""
        web = self._ask("PATCH", address, _about(piece, at), len(piece))
        web.send(piece[:sent])
        web.close()

    def _ask(self, method, address, headers, length) -> http.client.HTTPConnection:
        web = http.client.HTTPConnection(HOST, self.port, timeout=PATIENCE)
        web.putrequest(method, address)
        for name, value in (TUS | self.cookies | {"Content-Length": length} | headers).items():
            web.putheader(name, value)
        web.endheaders()
        return web

    def _answer(self, method, address, headers=None, body=b"") -> http.client.HTTPMessage:
        web = self._ask(method, address, headers or {}, len(body))
        web.send(body)
        answer = web.getresponse()
        said = answer.read()
        web.close()
        if answer.status not in (200, 201, 204):
            raise RuntimeError(f"{method} {address} was answered {answer.status}: {said[:200]}")
        return answer.headers


def _about(piece: bytes, at: int) -> dict[str, str]:
    digest = base64.b64encode(hashlib.sha256(piece).digest()).decode()
    checked = {"Upload-Offset": str(at), "Upload-Checksum": f"sha256 {digest}"}
    return checked | {"Content-Type": PIECE}


def _state(headers: http.client.HTTPMessage) -> tuple[int, bool]:
    return int(headers["Upload-Offset"]), "Studio-Deliverable" in headers


def upload(mebibytes: int, seed: int) -> Uploaded:
    """One file of so many, cut off and killed; then as much in eight files at once."""
    chance = random.Random(seed)
    band, session = recorded_band(furnish(rooms=1))
    song = band[0].song
    pages = [
        reverse("home"),
        reverse("takes:session", args=[session.pk]),
        reverse("deliverables:list", args=[song.pk]),
        reverse("songs:list"),
    ]
    connection.close()
    one = Sent(f"{seed}", mebibytes << 20)
    eight = [Sent(f"{seed} {n}", one.size // AT_ONCE) for n in range(AT_ONCE)]
    cuts, kills, (alone, beside) = _send_through_trouble(
        song, one, chance, then=lambda client: _send_at_once(client, song, eight, pages)
    )
    left = len(_files() - _stored())
    subprocess.run([sys.executable, "-m", "django", "work", "--once"], check=True)
    now = timezone.now()
    tidy(now, now + timedelta(days=2))
    return Uploaded(
        f"{mebibytes} MiB, {cuts} times cut off, {kills} servers killed, {left} files left by them",
        Waited(f"{PEOPLE} people", alone),
        Waited(f"beside {AT_ONCE} uploads", beside),
        list(_wrong([one, *eight])),
    )


def _send_through_trouble(
    song, file: Sent, chance: random.Random, *, then: Callable[[Client], Pair]
) -> tuple[int, int, Pair]:
    """How often it was cut off, how many servers were killed, the last while the file landed, and
    what is found of the one that lives `then`."""
    *most, last = file.offsets
    cuts = Counter(chance.choices(file.offsets, k=min(CUTS, len(file.offsets) // 2)))
    kills = min(KILLS, len(file.offsets) // 4)
    killed_at = [*sorted(chance.sample(most, kills - 1)), last] if kills else []
    left, address, found = cuts.copy(), None, ([], [])
    for kill_at in [*killed_at, None]:
        with served() as (port, _):  # it is killed where this ends
            client = Client(port, signed_in(port))
            address = address or client.begin(song, file.size)
            _go_on(client, address, file, left, kill_at, chance)
            if kill_at is None:
                found = then(client)
    return cuts.total(), kills, found


def _go_on(client: Client, address: str, file: Sent, cuts: Counter, kill_at, chance) -> None:
    """Until the file is on record, or the piece was sent in the middle of which the server dies."""
    at, landed = client.state(address)
    while not landed:
        piece = file.piece(at)
        if cuts[at]:
            cuts[at] -= 1
            client.break_off(address, piece, at, sent=chance.randrange(len(piece)))
            at, landed = client.state(address)
        elif at == kill_at:
            client.break_off(address, piece, at, sent=len(piece))
            time.sleep(chance.uniform(0, LATEST_KILL))
            return
        else:
            at, landed = client.send(address, piece, at)


def _send_at_once(client: Client, song, files: list[Sent], pages: list[str]) -> Pair:
    """How long pages took that others asked for before, and meanwhile."""
    each = [(client, song, file) for file in files]
    before = sum(file.size for file in files) / (ALONE << 20)
    # Senders have processes of their own, so that nobody waits for them in this one.
    with FORK.Pool(len(files)) as senders, ThreadPoolExecutor(PEOPLE) as people:

        def read_during(work: Callable[[], object]) -> list[float]:
            over = Event()
            took = [people.submit(_read, client, pages, n, over) for n in range(PEOPLE)]
            try:
                work()
            finally:
                over.set()
            return [seconds for person in took for seconds in person.result()]

        read_during(lambda: time.sleep(PAUSE))  # until each process has shown some
        return (
            read_during(lambda: time.sleep(before)),
            read_during(lambda: senders.starmap(_send, each)),
        )


def _send(client: Client, song, file: Sent) -> None:
    address, at, landed = client.begin(song, file.size), 0, False
    while not landed:
        at, landed = client.send(address, file.piece(at), at)


def _read(client: Client, pages: list[str], number: int, over: Event) -> list[float]:
    took = []
    for page in islice(cycle(pages), number, None):
        began = time.monotonic()
        status, _, said = ask(client.port, "GET", page, client.cookies)
        took.append(time.monotonic() - began)
        if status != 200:
            raise RuntimeError(f"{page} was answered {status}: {said[:200]}")
        if over.wait(PAUSE):
            break
    return took


def _wrong(files: list[Sent]) -> Iterator[str]:
    """What does not hold, in words."""
    there = DeliverableFile.objects.all()
    if sorted(file.sha256 for file in there) != sorted(file.sha256() for file in files):
        yield f"{len(there)} files on record are not the {len(files)} that were sent"
    if states := {file.state for file in there} - {FileState.AS_IS}:
        yield f"there are files {', '.join(states)}"
    if arriving := Upload.objects.arriving().count():
        yield f"{arriving} uploads go on for ever"
    if left := _files() - _stored():
        yield f"{len(left)} files are left behind"


def _files() -> set[Path]:
    """In the store and on their way in."""
    places = (settings.MEDIA_ROOT, settings.FILE_UPLOAD_TEMP_DIR)
    return {path for place in places for path in Path(place).rglob("*") if path.is_file()}


def _stored() -> set[Path]:
    return {Path(file.file.path) for file in DeliverableFile.objects.all()}
