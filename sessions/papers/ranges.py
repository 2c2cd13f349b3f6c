"""A stored file as an answer, whole or the one stretch of it that was asked for (RFC 9110, 14).

A player asks for stretches when somebody seeks; Django's FileResponse knows whole files only.
"""

import re

from django.core.files import File
from django.http import FileResponse, HttpRequest, HttpResponse
from django.utils.cache import get_conditional_response

BLOCK_BYTES = 1 << 16


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


def file_answer(request: HttpRequest, file: File, *, etag: str, **facts) -> HttpResponse:
    """The file, streamed; `facts` are FileResponse's content_type, filename and as_attachment.

    304 where the browser has it, 206 for a single range, 416 for one outside the file. Several
    ranges at once are answered with the whole, as the standard allows. Raises FileNotFoundError.
    """
    if known := get_conditional_response(request, etag=etag):
        return known
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
