"""Everything of a deliverable, a song or a delivery as one archive."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial
from hashlib import sha256

from django.db.models.fields.files import FieldFile
from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.template.response import TemplateResponse
from django.utils import timezone
from django.utils.http import content_disposition_header

from sessions.deliverables.checking import checks_of_each
from sessions.deliverables.models import DeliverableFile
from sessions.deliveries.packing import manifest
from sessions.deliveries.packing.archive import Entry, zip_length, zip_stream
from sessions.deliveries.packing.names import Names, safe_name
from sessions.deliveries.packing.papers import Papers, papers_of
from sessions.papers.stored.models import StoredPaper
from sessions.songs.models import Song

BLOCK_BYTES = 1 << 18


def pack_answer(
    request: HttpRequest,
    song: Song,
    *,
    files: Iterable[DeliverableFile],
    title: str,
    papers: Iterable[str],
    page: str = "base.html",
) -> HttpResponse:
    """The archive, or a page that waits for papers that have to be made first (202), which is built
    like `page`."""
    files = list(files)
    if not files:
        raise Http404("There is no file to pack.")
    of = {file.deliverable for file in files}
    gathered = Papers(request, papers_of(song, papers, of=of))
    if gathered.waiting:
        context = {"page": page, "title": title, "again": gathered.again()}
        context["worker"] = gathered.worker
        return TemplateResponse(
            request, "sessions/deliveries/packing/waiting.html", context, status=202
        )
    folder = safe_name(title)
    entries = [
        replace(each, path=f"{folder}/{each.path}") for each in _entries(song, files, gathered)
    ]
    at = timezone.localtime(max(file.uploaded_at for file in files))
    return StreamingHttpResponse(
        zip_stream(entries, at=at) if request.method == "GET" else (),
        content_type="application/zip",
        headers={
            "Content-Length": zip_length(entries),
            "Content-Disposition": content_disposition_header(True, f"{folder}.zip"),
            "Cache-Control": "private, no-store",
        },
    )


def _entries(song: Song, files: list[DeliverableFile], papers: Papers) -> list[Entry]:
    """Files, papers, the two manifests, and the sums of all these."""
    names = Names()
    packed = [
        (
            _entry_of_file(
                file, names.of(file.original_name, folder=safe_name(f"{file.deliverable}"))
            ),
            file,
        )
        for file in files
    ]
    packed += [
        (_entry_of_paper(paper, names.of(f"{title}.pdf".replace(":", ","), folder="Papers")), None)
        for title, paper in papers.stored
    ]
    checks = checks_of_each({file.deliverable for file in files})
    entries = [entry for entry, _ in packed]
    entries.append(_entry_of(manifest.as_csv(packed, checks), "manifest.csv"))
    entries.append(_entry_of(manifest.as_json(song, packed, checks), "manifest.json"))
    return [*entries, _entry_of(manifest.as_sums(entries), "SHA256SUMS")]


def _entry_of_file(file: DeliverableFile, path: str) -> Entry:
    if not file.file.storage.exists(file.file.name):
        raise Http404(f"{file} is missing from the storage: restore it from the backup.")
    return Entry(path, file.size_bytes, file.sha256, partial(_blocks, file.file))


def _entry_of_paper(paper: StoredPaper, path: str) -> Entry:
    hashed, size = sha256(), 0
    for block in _blocks(paper.file):
        hashed.update(block)
        size += len(block)
    return Entry(path, size, hashed.hexdigest(), partial(_blocks, paper.file))


def _entry_of(content: bytes, path: str) -> Entry:
    return Entry(path, len(content), sha256(content).hexdigest(), lambda: [content])


def _blocks(file: FieldFile) -> Iterator[bytes]:
    with file.storage.open(file.name) as opened:
        while block := opened.read(BLOCK_BYTES):
            yield block
