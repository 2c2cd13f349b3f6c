"""Recall sheets made once: kept under the hash of all that they print, and served at once afterwards.

Whether a kept sheet still prints the same is asked in two steps. The stamp says that nothing in the
house was changed since, by one query. If something was, the sheet is put together again, without
being printed: mostly it has the same hash, and the kept one goes on.
"""

import hashlib
from functools import cache

from django.conf import settings
from django.core.files.base import ContentFile
from django.db import connection
from django.template.loader import render_to_string
from django.utils import timezone

from gear.equipment.models import GearModel, Unit
from sessions.bookings.models import RecordingSession
from sessions.clients.models import Client, Person, Project
from sessions.paper import Enclosure, PaperSize, render_pdf
from sessions.recall.data import ENCLOSED_AS, recall_json
from sessions.recall.models import KeptPaper, PaperState
from sessions.recall.sheet import RecallSheet, recall_sheet
from sessions.setups.headphones.models import HeadphoneMix
from sessions.setups.models import Chain, Placement, Revision, Setup, Stage
from sessions.songs.models import Part, Song
from sessions.takes.models import CompChoice, Take

TEMPLATE = "sessions/recall/sheet.html"
#: What a sheet reads. Panels and the wiring of bays are fixed with the revision.
READ = (
    *(Client, Person, Project, Song, Part, Take, CompChoice, RecordingSession),
    *(Setup, Chain, Revision, Stage, Placement, HeadphoneMix, Unit, GearModel),
)


def house_stamp() -> str:
    """Changes with every change of anything that a sheet may print, and with the code. One query."""
    with connection.cursor() as cursor:
        cursor.execute(_newest_changes())
        newest = cursor.fetchone()
    return _hash(f"{newest}".encode(), _code(), settings.STUDIO_NAME.encode())


@cache
def _newest_changes() -> str:
    """Written once: to put it together takes Django longer than the answer takes."""
    tables = [connection.ops.quote_name(model.history.model._meta.db_table) for model in READ]
    return "SELECT " + ", ".join(f"(SELECT MAX(history_id) FROM {table})" for table in tables)


def known_paper(song: Song, *, size: PaperSize, address: str, stamp: str) -> KeptPaper | None:
    """The sheet's paper, if nothing was changed in the house since it was looked for. One query."""
    return KeptPaper.objects.filter(song=song, size=size, address=address, stamp=stamp).first()


def paper_of(sheet: RecallSheet, *, size: PaperSize, address: str, stamp: str) -> KeptPaper:
    """The sheet's paper by its hash: kept, or still to be made."""
    paper, _ = KeptPaper.objects.get_or_create(
        key=paper_key(sheet, size=size, address=address),
        defaults={"song": sheet.song, "size": size, "address": address, "stamp": stamp},
    )
    if paper.stamp != stamp:
        paper.stamp = stamp
        paper.save(update_fields=["stamp"])
    return paper


def paper_key(sheet: RecallSheet, *, size: PaperSize, address: str) -> str:
    """The hash of all that is printed and enclosed, apart from the time of print."""
    markup = render_to_string(TEMPLATE, {"sheet": sheet, "house": settings.STUDIO_NAME})
    said = f"{size} {address}".encode()
    return _hash(said, markup.encode(), _data(sheet, address), _code())


def make_paper(paper: KeptPaper) -> None:
    """Print it and keep it; papers of the same song that say something else by now go.

    If the sheet says something else than when it was asked for, it isn't made: it will be asked for
    by another hash.
    """
    song = Song.objects.select_related("project__client").get(pk=paper.song_id)
    sheet, size = recall_sheet(song), PaperSize(paper.size)
    if paper_key(sheet, size=size, address=paper.address) != paper.key:
        paper.delete()
        return
    made_at = timezone.now()
    pdf = render_pdf(
        TEMPLATE,
        {"sheet": sheet},
        title=f"Recall sheet: {song}",
        base_url=paper.address,
        printed_at=made_at,
        size=size,
        enclosure=Enclosure(
            ENCLOSED_AS, _data(sheet, paper.address), "What this sheet prints, as data"
        ),
    )
    paper.state, paper.made_at, paper.error = PaperState.KEPT, made_at, ""
    paper.file.save(f"{paper.key}.pdf", ContentFile(pdf), save=False)
    paper.save(update_fields=["state", "made_at", "error", "file"])
    _forget_others(paper)


def _forget_others(paper: KeptPaper) -> None:
    others = KeptPaper.objects.filter(
        song=paper.song_id, size=paper.size, address=paper.address, pk__lt=paper.pk
    )
    for other in others:
        if other.file:
            other.file.delete(save=False)
        other.delete()


def _data(sheet: RecallSheet, address: str) -> bytes:
    return recall_json(sheet, studio=settings.STUDIO_NAME, address=address)


@cache
def _code() -> bytes:
    """The code and the templates that this process runs: another version may print otherwise."""
    root = settings.BASE_DIR
    files = [
        *root.glob("templates/print/*"),
        *root.glob("templates/sessions/**/*.html"),
        *root.glob("sessions/**/*.py"),
        *root.glob("gear/**/*.py"),
        root / "requirements.txt",
    ]
    return _hash(*(file.read_bytes() for file in sorted(files) if file.is_file())).encode()


def _hash(*parts: bytes) -> str:
    """Of each part's own hash, so that nothing depends on where one ends and the next begins."""
    digests = b"".join(hashlib.sha256(part).digest() for part in parts)
    return hashlib.sha256(digests).hexdigest()
