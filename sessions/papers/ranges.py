"""A stored file as an answer, whole or the one stretch of it that was asked for (RFC 9110, 14).

A player asks for stretches when somebody seeks; Django's FileResponse knows whole files only.
"""

import os
import re
from urllib.parse import quote

from django.conf import settings
from django.core.files import File
from django.db.models.fields.files import FieldFile
from django.http import FileResponse, HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils.cache import get_conditional_response
from django.utils.http import content_disposition_header

BLOCK_BYTES = 1 << 16
OF_THE_PROXY = "/stored/"  # where the proxy finds what is in the files folder, for itself alone


class Unsatisfiable(ValueError):
    """The range begins behind the end of the file."""


class _Stretch:
    """`length` bytes of an open file from `start` on, read like a file of their own."""

    def __init__(self, file: File, start: int, length: int):
        file.seek(start)
        self._file, self._left = file, length
        self.close = file.close

    def read(self, most: int) -> bytes:
        block = self._file.read(min(most, self._left))
        self._left -= len(block)
        return block


def file_answer(
    request: HttpRequest,
    file: FieldFile,
    *,
    etag: str,
    content_type: str,
    filename: str = "",
    as_attachment: bool = False,
) -> HttpResponse:
    """The stored file, to whoever may have it: sent by the proxy where that is set, else streamed;
    of one that is kept elsewhere a signed address, which opens for some minutes.

    304 where the browser has it, 206 for a single range, 416 for one outside the file. Several
    ranges at once are answered with the whole, as the standard allows. Raises FileNotFoundError;
    whether a file is still there that is kept elsewhere is not asked, for no page waits for that.
    """
    if known := get_conditional_response(request, etag=etag):
        return known
    disposition = content_disposition_header(as_attachment, filename)
    try:
        path = file.path
    except NotImplementedError:
        said = {"ContentType": content_type, "CacheControl": "private, no-cache"}
        if disposition:
            said["ContentDisposition"] = disposition
        answer = HttpResponseRedirect(file.storage.url(file.name, **said))
        answer["Cache-Control"] = "no-store"
        return answer
    if settings.PROXY_SENDS_FILES:
        os.stat(path)
        answer = HttpResponse(content_type=content_type)
        answer["X-Accel-Redirect"] = OF_THE_PROXY + quote(file.name)
        if disposition:
            answer["Content-Disposition"] = disposition
        return answer
    facts = {"content_type": content_type, "filename": filename, "as_attachment": as_attachment}
    return _streamed(request, file, etag=etag, **facts)


def _streamed(request: HttpRequest, file: File, *, etag: str, **facts) -> HttpResponse:
    size = file.size
    try:
        wanted = wanted_range(request, size=size, etag=etag)
    except Unsatisfiable:
        return HttpResponse(status=416, headers={"Content-Range": f"bytes */{size}"})
    file.open("rb")
    if wanted is None:
        answer = FileResponse(file, **facts)
    else:
        first, last = wanted
        answer = FileResponse(_Stretch(file, first, last - first + 1), status=206, **facts)
        answer["Content-Range"] = f"bytes {first}-{last}/{size}"
        answer["Content-Length"] = last - first + 1
    answer.block_size = BLOCK_BYTES
    answer["Accept-Ranges"] = "bytes"
    answer["ETag"] = etag
    return answer


def wanted_range(request: HttpRequest, *, size: int, etag: str) -> tuple[int, int] | None:
    """First and last byte asked for; None where the whole file is the right answer.

    Raises Unsatisfiable.
    """
    stated = request.headers.get("If-Range", etag)
    found = re.fullmatch(r"bytes=(\d*)-(\d*)", request.headers.get("Range", ""), re.ASCII)
    if request.method != "GET" or stated != etag or not found or found[0] == "bytes=-":
        return None
    start, end = found.groups()
    if not start:
        if int(end) == 0:
            raise Unsatisfiable
        return max(0, size - int(end)), size - 1
    first, last = int(start), min(int(end or size - 1), size - 1)
    if end and int(end) < int(start):
        return None
    if first >= size:
        raise Unsatisfiable
    return first, last
