"""An upload as a tus client sends it, through a test's web client."""

import base64
import hashlib
import uuid

from django.urls import reverse

from sessions.deliverables.measured import measure
from sessions.deliverables.models import DeliverableFile
from sessions.deliverables.uploads.models import Upload

TUS = {"Tus-Resumable": "1.0.0"}
PIECE = "application/offset+octet-stream"


def metadata(**facts) -> str:
    return ",".join(
        f"{key} {base64.b64encode(str(value).encode()).decode()}" for key, value in facts.items()
    )


def begin(web, song, *, size, name="mix.wav", headers=None, **facts):
    facts = {"filename": name, "kind": "rough_mix", "batch": uuid.uuid4()} | facts
    headers = (
        TUS | {"Upload-Length": str(size), "Upload-Metadata": metadata(**facts)} | (headers or {})
    )
    return web.generic("POST", reverse("uploads:create", args=[song.pk]), headers=headers)


def begun(web, song, **facts) -> Upload:
    answer = begin(web, song, **facts)
    assert answer.status_code == 201, answer.content
    return Upload.objects.get(pk=answer["Location"].split("/")[-2])


def send_piece(web, upload, piece, *, at=None, headers=None, content_type=PIECE, method="PATCH"):
    at = upload.offset if at is None else at
    digest = base64.b64encode(hashlib.sha256(piece).digest()).decode()
    headers = (
        TUS | {"Upload-Offset": str(at), "Upload-Checksum": f"sha256 {digest}"} | (headers or {})
    )
    address = upload.get_absolute_url()
    answer = web.generic(method, address, piece, content_type=content_type, headers=headers)
    if Upload.objects.filter(pk=upload.pk).exists():
        upload.refresh_from_db()
    return answer


def send(web, song, path, *, pieces=1, name=None, **facts):
    """All of a file, in so many pieces; the last answer."""
    content = path.read_bytes()
    answer = begin(web, song, size=len(content), name=name or path.name, **facts)
    if answer.status_code != 201:
        return answer
    upload = Upload.objects.get(pk=answer["Location"].split("/")[-2])
    length = -(-len(content) // pieces)
    for start in range(0, len(content), length):
        answer = send_piece(web, upload, content[start : start + length])
    return answer


def sent(web, song, path, **facts) -> DeliverableFile:
    """A file that is on record and waits to be measured."""
    answer = send(web, song, path, **facts)
    assert answer.status_code == 204, answer.content
    return DeliverableFile.objects.latest("pk")


def measured(web, song, path, **facts) -> DeliverableFile:
    file = sent(web, song, path, **facts)
    measure.call(file.pk)
    file.refresh_from_db()
    return file
