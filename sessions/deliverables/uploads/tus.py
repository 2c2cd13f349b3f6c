"""The open protocol for resumable uploads, tus 1.0.0: its core, and the extensions creation,
termination, checksum and expiration. What a view raises as `Refused` is answered with its status."""

import base64
import hashlib
from binascii import Error
from collections.abc import Callable
from functools import wraps
from urllib.parse import quote

from django.conf import settings
from django.http import HttpRequest, HttpResponse

VERSION = "1.0.0"
PIECE_TYPE = "application/offset+octet-stream"
CHECKSUM_MISMATCH = 460


class Refused(Exception):
    """`said` is a sentence for the user."""

    def __init__(self, status: int, said: str, **headers):
        super().__init__(said)
        self.status, self.headers = status, headers


def speaks_tus(*methods: str) -> Callable:
    """For a view that is also given the method, which a client may have had to hide in a POST."""

    def decorated(view):
        @wraps(view)
        def answered(request: HttpRequest, *args, **kwargs) -> HttpResponse:
            method = request.method
            if method == "POST":
                method = request.headers.get("X-HTTP-Method-Override", method)
            try:
                answer = _answered(view, methods, method, request, *args, **kwargs)
            except Refused as refused:
                answer = said(refused.status, str(refused), **refused.headers)
            answer["Tus-Resumable"] = VERSION
            answer["Cache-Control"] = "no-store"
            return answer

        return answered

    return decorated


def _answered(view, methods, method, request, *args, **kwargs) -> HttpResponse:
    if method == "OPTIONS":
        return HttpResponse(status=204, headers=_abilities())
    if method not in methods:
        allowed = ", ".join(["OPTIONS", *methods])
        raise Refused(405, "This address takes pieces of uploads.", Allow=allowed)
    if request.headers.get("Tus-Resumable") != VERSION:
        raise Refused(412, f"Uploads are taken by tus {VERSION}.", **{"Tus-Version": VERSION})
    return view(request, method, *args, **kwargs)


def _abilities() -> dict:
    return {
        "Tus-Version": VERSION,
        "Tus-Extension": "creation,termination,checksum,expiration",
        "Tus-Checksum-Algorithm": "sha256",
        "Tus-Max-Size": settings.UPLOAD_LIMIT_BYTES,
    }


def said(status: int, text: str, **headers) -> HttpResponse:
    """A plain answer, whose text stands in a header, too: an answer to HEAD has nothing else."""
    answer = HttpResponse(text, status=status, content_type="text/plain; charset=utf-8")
    answer["Studio-Said"] = quote(text)
    for name, value in headers.items():
        answer[name] = value
    return answer


def number_in(request: HttpRequest, header: str) -> int:
    text = request.headers.get(header, "")
    if not (text.isascii() and text.isdigit() and len(text) < 19):
        raise Refused(400, f"The header {header} must be a number of bytes.")
    return int(text)


def metadata_in(request: HttpRequest) -> dict[str, str]:
    """Pairs of a key and its value in Base64, with commas between them."""
    found = {}
    for pair in filter(None, request.headers.get("Upload-Metadata", "").split(",")):
        key, _, value = pair.strip().partition(" ")
        try:
            found[key] = base64.b64decode(value, validate=True).decode()
        except (Error, ValueError):
            raise Refused(400, "The header Upload-Metadata can’t be read.") from None
    return found


def piece_in(request: HttpRequest, *, most: int) -> bytes:
    """The body, of which nothing is read if it is too long, once it is whole and right."""
    if request.content_type != PIECE_TYPE:
        raise Refused(415, f"A piece is sent as {PIECE_TYPE}.")
    length = int(request.META.get("CONTENT_LENGTH") or 0)
    if length > most:
        raise Refused(413, f"A piece has at most {most} bytes.")
    try:
        piece = request.read(length)
    except OSError:
        piece = b""
    if len(piece) < length:
        raise Refused(400, "The piece was cut off on its way.")
    _check(piece, request.headers.get("Upload-Checksum"))
    return piece


def _check(piece: bytes, stated: str | None) -> None:
    if stated is None:
        return
    algorithm, _, value = stated.partition(" ")
    if algorithm != "sha256":
        raise Refused(400, "Checksums of pieces are sha256.")
    if base64.b64encode(hashlib.sha256(piece).digest()).decode() != value.strip():
        raise Refused(CHECKSUM_MISMATCH, "The piece was damaged on its way.")
