"""A process that prints recall sheets in a database of its own, and serves the kept ones.

    DATABASE_URL=… DJANGO_SETTINGS_MODULE=studio.bench.settings python -m studio.bench.printing 3 1 4 12

It takes the number of rounds and the numbers of chains, and prints a line of JSON.
"""

import json
import re
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from shutil import which

import django
from django.conf import settings
from django.core.management import call_command

from studio.bench.browser import FLAGS

ADDRESS = "http://localhost/recall/songs/{}/"
DRAWN = re.compile(r'<img class="control-image"[^>]*>|<svg.*?</svg>', re.DOTALL)
SERVED = 20  # how often a kept sheet and a static file are fetched in each round


def main(rounds: int, sizes: list[int]) -> None:
    django.setup()
    from studio.bench.recorded import recorded_song
    from studio.models import User
    from studio.roles import Role

    call_command("migrate", run_syncdb=True, verbosity=0)
    manager = User.objects.create_user(username="maren", role=Role.MANAGER)
    songs = {size: recorded_song(size, by=manager) for size in sizes}
    sys.stdout.write(json.dumps([_measured(songs[size], size, rounds, manager) for size in sizes]))


def _measured(song, size: int, rounds: int, manager) -> dict:
    from studio.bench.timing import interleaved

    works, facts = _printing(song, manager)
    for name in ("sheet", "without drawings"):
        works[name]()  # what is loaded once is no part of a sheet's time
    before = _megabytes()
    times = interleaved(works, rounds)
    served = interleaved(_serving(song, manager), rounds * SERVED)
    memory = {"before": before, "after": _megabytes()}
    return {"chains": size, "times": times | served, "megabytes": memory} | facts


def _printing(song, manager) -> tuple[dict, dict]:
    """The sheet, the same without its drawings, and the page in a Chromium started for it."""
    from django.template.loader import render_to_string

    from sessions.paper import print_markup
    from sessions.recall.keeping import TEMPLATE
    from sessions.recall.sheet import recall_sheet
    from sessions.songs.models import Song

    loaded = Song.objects.select_related("project__client").get(pk=song.pk)

    def markup() -> str:
        return render_to_string(TEMPLATE, {"sheet": recall_sheet(loaded), "title": "Recall"})

    address = ADDRESS.format(song.pk)
    bare = DRAWN.sub("", markup())
    works = {
        "sheet": lambda: print_markup(markup(), base_url=address),
        "without drawings": lambda: print_markup(bare, base_url=address),
    }
    if chromium := which("chromium"):
        page = _saved_page(song, manager)
        works["Chromium, cold"] = lambda: _print_by_browser(chromium, page)
    controls = sum(
        stage.panel.controls.count()
        for chain in recall_sheet(loaded).chains
        for stage in chain.revision.stages.all()
    )
    return works, {"controls": controls}


def _saved_page(song, manager) -> Path:
    """The recall's page with its style sheets, as a file that a browser opens by itself."""
    from django.contrib.staticfiles import finders

    said = _fetched(_browser(manager), f"/recall/songs/{song.pk}/").decode()
    page = settings.DATA_DIR / f"page-{song.pk}.html"
    page.write_text(
        re.sub(r"/static/([^\"]+)", lambda found: f"file://{finders.find(found[1])}", said)
    )
    return page


def _print_by_browser(chromium: str, page: Path) -> None:
    with tempfile.TemporaryDirectory(dir=settings.DATA_DIR) as profile:
        subprocess.run(
            [
                chromium,
                "--headless",
                *FLAGS,
                f"--user-data-dir={profile}",
                f"--print-to-pdf={page.with_suffix('.pdf')}",
                f"file://{page}",
            ],
            check=True,
            capture_output=True,
            timeout=120,
        )


def _serving(song, manager) -> dict:
    """The kept sheet, and a static file of its size, each through all that a request goes through."""
    from sessions.paper import PaperSize
    from sessions.recall.keeping import house_stamp, make_paper, paper_of
    from sessions.recall.sheet import recall_sheet
    from sessions.songs.models import Song

    loaded = Song.objects.select_related("project__client").get(pk=song.pk)
    paper = paper_of(
        recall_sheet(loaded),
        size=PaperSize.A4,
        address=ADDRESS.format(song.pk),
        stamp=house_stamp(),
    )
    make_paper(paper)
    static = f"sheet-{song.pk}.pdf"
    settings.STATIC_ROOT.mkdir(exist_ok=True)
    (settings.STATIC_ROOT / static).write_bytes(paper.file.read())
    browser = _browser(manager)
    return {
        "kept": lambda: _fetched(browser, f"/recall/songs/{song.pk}/sheet.pdf"),
        "static file": lambda: _fetched(browser, f"/static/{static}"),
    }


def _browser(manager):
    from django.test import Client

    browser = Client(SERVER_NAME="localhost")
    browser.force_login(manager, backend="studio.backends.RoleBackend")
    return browser


def _fetched(browser, address: str) -> bytes:
    answer = browser.get(address)
    if answer.status_code != 200:
        raise RuntimeError(f"{address} answered {answer.status_code}.")
    return b"".join(answer)


def _megabytes() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


if __name__ == "__main__":
    main(int(sys.argv[1]), [int(size) for size in sys.argv[2:]])
