"""A process that prints recall sheets in a database of its own, and has the kept ones served.

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
DRAWING = re.compile(r"<img [^>]*>")
#: With columns of fixed widths, which WeasyPrint lays out quickest.
PLAIN = "@page { size: A4; margin: 20mm } table { width: 100%; table-layout: fixed }"


def main(rounds: int, sizes: list[int]) -> None:
    django.setup()
    from studio.bench.recorded import recorded_song
    from studio.bench.serving import serving_times
    from studio.bench.web import PASSWORD, collect_static
    from studio.models import User
    from studio.roles import Role

    call_command("migrate", run_syncdb=True, verbosity=0)
    collect_static()
    manager = User.objects.create_user(username="maren", password=PASSWORD, role=Role.MANAGER)
    songs = {size: recorded_song(size, by=manager) for size in sorted(sizes)}
    held = {size: _held_for_a_sheet(song) for size, song in songs.items()}
    measured = [
        {"chains": size, "megabytes": held[size]} | _measured(song, rounds, manager)
        for size, song in songs.items()
    ]
    served = serving_times(list(songs.values()), rounds, by=manager)
    for size, times in zip(measured, served, strict=True):
        size["times"] |= times
    sys.stdout.write(json.dumps(measured))


def _held_for_a_sheet(song) -> float:
    """Megabytes at the most, before Chromium and WeasyPrint take theirs."""
    _sheet(song)()
    who = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    return max(resource.getrusage(each).ru_maxrss for each in who) / 1024


def _measured(song, rounds: int, manager) -> dict:
    from studio.bench.timing import interleaved

    works, facts = _printing(song, manager)
    works["without drawings"]()  # what is loaded once is no part of its time
    times = interleaved(works, rounds)
    return {"times": times} | facts


def _sheet(song):
    from django.utils import timezone

    from sessions.papers.pdf import render_pdf
    from sessions.recall.sheet.contents import recall_sheet
    from sessions.recall.sheet.keeping import TEMPLATE
    from sessions.songs.models import Song

    loaded = Song.objects.select_related("project__client").get(pk=song.pk)
    printed_at = timezone.now()
    return lambda: render_pdf(
        TEMPLATE,
        {"sheet": recall_sheet(loaded)},
        title="Recall",
        base_url=ADDRESS.format(song.pk),
        printed_at=printed_at,
    )


def _printing(song, manager) -> tuple[dict, dict]:
    """The sheet, the same without its drawings, and the page in a Chromium started for it."""
    from django.template.loader import render_to_string
    from weasyprint import CSS, HTML

    from sessions.recall.sheet.contents import recall_sheet
    from sessions.recall.sheet.keeping import TEMPLATE

    bare = DRAWING.sub("", render_to_string(TEMPLATE, {"sheet": recall_sheet(song)}))
    plain = CSS(string=PLAIN)
    works = {
        "sheet": _sheet(song),
        "without drawings": lambda: HTML(string=bare).write_pdf(stylesheets=[plain]),
    }
    if chromium := which("chromium"):
        page = _saved_page(song, manager)
        works["Chromium, cold"] = lambda: _print_by_browser(chromium, page)
    controls = sum(
        stage.panel.controls.count()
        for chain in recall_sheet(song).chains
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


if __name__ == "__main__":
    main(int(sys.argv[1]), [int(size) for size in sys.argv[2:]])
