"""Recall sheets of songs of several chains, made and served, held against what they are compared
with."""

import http.client
import re
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from datetime import timedelta
from pathlib import Path

from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from sessions.papers.pdf import STYLE, print_markup, qr_code
from sessions.recall.sheet.stored import RECALL_SHEET
from sessions.songs.models import Song
from sessions.takes.actions import circle_parts, log_take
from studio.management.commands.work import MEMORY
from tests.browser.browsing import FLAGS, chromium
from tests.factories import PartFactory, RecordingSessionFactory, SongFactory
from tests.measure.fill.chains import set_up
from tests.measure.fill.house import House, furnish
from tests.measure.timing import Ratio, Times, Works, interleaved, processor_time
from tests.measure.web import HOST, memory_mb, served, signed_in, working
from tests.sessions.takes.seen import seen

DRAWINGS_COST, STORED_COST = 1.3, 1
DRAWING = re.compile(r"<img [^>]*>")
FETCHED = 20  # times in each round
LONGEST = 300  # seconds that a sheet may take to be made


def measure(chains: Sequence[int], rounds: int) -> Iterator[Ratio | str]:
    house = furnish(rooms=1, chains=max(chains))
    songs = {count: recorded_song(house, count) for count in sorted(chains)}
    with served() as (port, _), working() as worker:
        headers = signed_in(port)
        for count, song in songs.items():
            times = interleaved(printing(song), rounds, processor_time)
            yield _made_off_the_request(song, port, headers)
            times |= _served(song, port, headers, rounds)
            size = f"{count} chains, {58 * count} controls"
            yield Ratio.of(times, "sheet", "without drawings", DRAWINGS_COST, size)
            if chromium():
                yield Ratio.of(times, "sheet", "Chromium, cold", None, size)
            yield Ratio.of(times, "stored sheet", "the song’s page", STORED_COST, size)
        peak = re.search(r"VmHWM:\s*(\d+)", Path(f"/proc/{worker.pid}/status").read_text())[1]
    yield f"memory of the worker, at its highest: {int(peak) / 1024:.0f} MB of {MEMORY // 2**20}"


def recorded_song(house: House, chains: int) -> Song:
    """With a chosen take of every part, each recorded through a chain of its own."""
    now = timezone.now()
    session = RecordingSessionFactory(starts_at=now - timedelta(hours=4), ends_at=now)
    song = SongFactory(project=session.project, title=f"Slow the Lantern, {chains} voices")
    parts = [PartFactory(song=song, name=f"Voice {n}", position=n) for n in range(1, chains + 1)]
    setup = set_up(session, parts, house.booths[0], by=house.manager)
    for part in parts:
        take = log_take(part, session=session, setup=setup)
        circle_parts(take, seen=seen(take), circled=True)
    return Song.objects.select_related("project__client").get(pk=song.pk)


def printing(song: Song) -> Works:
    """The sheet, the same without its drawings, and the same in a Chromium started for it."""
    address = f"http://{HOST}" + reverse("recall:song", args=[song.pk])
    facts = {"title": "Recall", "printed_at": timezone.now()}

    def markup() -> str:
        context = RECALL_SHEET.contents(song, address).context | facts
        paper = {"address": address, "qr_code": qr_code(address)}
        return render_to_string(RECALL_SHEET.template, context | paper)

    works = {
        "sheet": lambda: print_markup(markup(), base_url=address, **facts),
        "without drawings": lambda: print_markup(
            DRAWING.sub("", markup()), base_url=address, **facts
        ),
    }
    works["sheet"]()  # what is loaded once is no part of its time
    if program := chromium():
        works["Chromium, cold"] = lambda: _print_by_browser(program, markup())
    return works


def _print_by_browser(program: str, markup: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "sheet.html"
        style = f'<link rel="stylesheet" href="file://{STYLE}"></head>'
        page.write_text(markup.replace("</head>", style))
        subprocess.run(
            [
                program,
                "--headless",
                *FLAGS,
                f"--user-data-dir={folder}/profile",
                f"--print-to-pdf={folder}/sheet.pdf",
                f"file://{page}",
            ],
            check=True,
            capture_output=True,
            timeout=LONGEST,
        )


def _made_off_the_request(song: Song, port: int, headers: dict[str, str]) -> str:
    """What the server holds more after its worker made a sheet than after its pages were shown."""
    connection = http.client.HTTPConnection(HOST, port, timeout=LONGEST)
    sheet, page = (reverse(f"recall:{name}", args=[song.pk]) for name in ("song_pdf", "song"))
    for _ in range(FETCHED):  # all of its processes and threads have loaded what pages need
        fetching(connection, page, headers, wanted=200)()
    fetching(connection, sheet, headers, wanted=202)()
    before, until = memory_mb(f"--bind {HOST}:{port}"), time.monotonic() + LONGEST
    while fetching(connection, sheet, headers)() == 202 and time.monotonic() < until:
        time.sleep(1)
    connection.close()
    grown = memory_mb(f"--bind {HOST}:{port}") - before
    return f"memory of the server: {before:.0f} MB; {grown:+.0f} MB while the worker made a sheet"


def _served(song: Song, port: int, headers: dict[str, str], rounds: int) -> Times:
    """Through gunicorn, on a connection kept alive; the sheet was made before."""
    connection = http.client.HTTPConnection(HOST, port, timeout=LONGEST)
    sheet, page = (reverse(f"recall:{name}", args=[song.pk]) for name in ("song_pdf", "song"))
    works = {
        "stored sheet": fetching(connection, sheet, headers, wanted=200),
        "the song’s page": fetching(connection, page, headers, wanted=200),
    }
    times = interleaved(works, rounds * FETCHED)
    connection.close()
    return times


def fetching(connection, address: str, headers, wanted: int | None = None) -> Callable[[], int]:
    """Only whole answers are timed."""

    def fetch() -> int:
        connection.request("GET", address, headers=headers)
        answer = connection.getresponse()
        answer.read()
        if wanted not in (None, answer.status):
            raise RuntimeError(f"{address} answered {answer.status}.")
        return answer.status

    return fetch
