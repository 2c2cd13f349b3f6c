"""Kept sheets against static files of their size: over HTTP, signed in, on a connection kept alive,
through the gunicorn that a studio runs."""

import http.client
from collections.abc import Callable

from django.conf import settings

from sessions.papers.pdf import PaperSize
from sessions.papers.stored.keeping import draft_of, paper_of, print_paper
from sessions.papers.stored.kinds import Wanted
from sessions.papers.stored.stamps import stamp_of
from sessions.recall.sheet.keeping import RECALL_SHEET
from sessions.songs.models import Song
from studio.bench.timing import Times, interleaved
from studio.bench.web import HOST, free_port, served, signed_in

FETCHED = 100  # how often each is fetched in each round
FIRST = 20  # fetched before, so that every thread has its connection to the database


def serving_times(songs: list[Song], rounds: int, *, by) -> list[Times]:
    """Seconds for the `kept` sheet and the `static file`, song by song; after `collect_static`."""
    port = free_port()
    for song in songs:
        _static(song).write_bytes(_kept(song, port, by))
    with served(port):
        headers = {"Cookie": signed_in(port)["Cookie"]}
        return [_times(song, port, headers, rounds) for song in songs]


def _static(song: Song):
    return settings.STATIC_ROOT / f"sheet-{song.pk}.pdf"


def _kept(song: Song, port: int, by) -> bytes:
    """Printed beforehand, as if it had been asked for from gunicorn."""
    address = f"http://{HOST}:{port}/recall/songs/{song.pk}/"
    wanted = Wanted(RECALL_SHEET, song.pk, PaperSize.A4, address)
    draft = draft_of(wanted, RECALL_SHEET.subjects.get(pk=song.pk))
    paper = paper_of(draft, user=by, stamp=stamp_of(wanted, by))
    print_paper(paper, draft)
    return paper.file.read()


def _times(song: Song, port: int, headers: dict, rounds: int) -> Times:
    connection = http.client.HTTPConnection(HOST, port)
    length = _static(song).stat().st_size
    works = {
        "kept": fetching(connection, f"/recall/songs/{song.pk}/sheet.pdf", headers, length),
        "static file": fetching(connection, f"/static/sheet-{song.pk}.pdf", headers, length),
    }
    interleaved(works, FIRST)
    times = interleaved(works, rounds * FETCHED)
    connection.close()
    return times


def fetching(connection, address: str, headers: dict, length: int) -> Callable[[], None]:
    def fetch() -> None:
        connection.request("GET", address, headers=headers)
        answer = connection.getresponse()
        if len(answer.read()) != length or answer.status != 200:
            raise RuntimeError(f"{address} answered {answer.status}.")

    return fetch
