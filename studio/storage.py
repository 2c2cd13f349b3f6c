"""Files that are kept in a bucket (S3): they land on this machine's disk, and the worker moves them.

So nobody who uploads waits for the bucket, and one that does not answer stops no page. Nothing in it is
public: what is asked for from outside is signed, for a short time.
"""

import fcntl
import os
import time
from collections.abc import Collection, Iterator
from datetime import datetime
from pathlib import Path
from tempfile import NamedTemporaryFile

from botocore.config import Config
from django.conf import settings
from django.core.files import File
from django.core.files.storage import FileSystemStorage, Storage
from storages.backends.s3 import S3Storage

# What is smaller stays here: pages, papers and pictures read it again and again, and it is next to
# nothing beside the sound. Larger files are moved in parts of this size, and begun again by the part.
PART_BYTES = 16 << 20
MOST_PARTS = 10_000  # as the protocol has it
QUIET_SECONDS = 10 * 60  # what was just stored is read again: light copies, waveforms
LINK_SECONDS = 10 * 60  # an address opens for so long; what it has begun to send, it ends

TIMES = Config(
    connect_timeout=5,
    read_timeout=30,
    retries={"total_max_attempts": 2},
    signature_version="s3v4",
    s3={"addressing_style": "path"},  # so that the endpoint is the origin of every address
)


class BucketStorage(Storage):
    """One name, two places: the local file where there is one, else the one in the bucket.

    `path` raises NotImplementedError where the file is not here: then `url` has a signed address.
    """

    def __init__(self, **options):
        self.local = FileSystemStorage()
        self.remote = S3Storage(client_config=TIMES, querystring_expire=LINK_SECONDS, **options)

    def path(self, name: str) -> str:
        if not self.local.exists(name):
            raise NotImplementedError("The file is in the bucket.")
        return self.local.path(name)

    def url(self, name: str, **said) -> str:
        """Signed; `said` are the type and disposition that the answer is to state."""
        return self.remote.url(
            name, parameters={f"Response{key}": value for key, value in said.items()}
        )

    def save(self, name, content, max_length=None) -> str:
        """Under a name that was never used, so that nobody need ask what stands in the bucket."""
        name = self.get_alternative_name(*os.path.splitext(name or content.name))
        return self.local.save(name, content, max_length)

    def _open(self, name: str, mode: str = "rb") -> File:
        """One from the bucket is a temporary file by then, which goes when it is closed."""
        try:
            return self.local.open(name, mode)
        except FileNotFoundError:
            pass
        if not self.remote.exists(name):
            raise FileNotFoundError(name)
        into = {"dir": settings.FILE_UPLOAD_TEMP_DIR, "suffix": ".upload"}
        copy = NamedTemporaryFile(**into)  # noqa: SIM115 (whoever opened it closes it)
        try:
            self.remote.bucket.download_fileobj(name, copy)
        except BaseException:
            copy.close()
            raise
        copy.seek(0)
        return File(copy, name=name)

    def delete(self, name: str) -> None:
        self.local.delete(name)
        for upload in self._begun(name):
            upload.abort()
        self.remote.delete(name)

    def exists(self, name: str) -> bool:
        return self.local.exists(name) or self.remote.exists(name)

    def size(self, name: str) -> int:
        return self._where(name).size(name)

    def get_modified_time(self, name: str) -> datetime:
        return self._where(name).get_modified_time(name)

    def listdir(self, path: str) -> tuple[list[str], list[str]]:
        folders, names = map(set, self.remote.listdir(path))
        if self.local.exists(path):
            here = self.local.listdir(path)
            folders, names = folders | set(here[0]), names | set(here[1])
        return sorted(folders), sorted(names)

    def _where(self, name: str) -> Storage:
        return self.local if self.local.exists(name) else self.remote

    # --- moving -----------------------------------------------------------------------------

    def move_next_part(self, *, except_for: Collection[str] = ()) -> bool:
        """Bring one part more of a local file into the bucket, or put its parts together there, or
        remove here what is there whole. Whether there was anything to do.

        What was begun is known by the bucket alone: whoever is killed in the middle has lost nothing,
        and the next one goes on. A file that somebody reads (`local_copy`) is not removed yet.
        """
        names = (name for name in self._to_move() if name not in except_for)
        return any(self._move_part_of(name) for name in names)

    def _to_move(self) -> Iterator[str]:
        """Names of large files that nobody has touched for a while, also by a name or a mode."""
        root = Path(self.local.location)
        quiet = time.time() - QUIET_SECONDS
        for folder, _, names in os.walk(root):
            for path in (Path(folder, name) for name in sorted(names)):
                facts = path.stat()
                if facts.st_size > PART_BYTES and facts.st_ctime < quiet:
                    yield path.relative_to(root).as_posix()

    def _move_part_of(self, name: str) -> bool:
        with open(self.local.path(name), "rb") as file:
            try:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                return False
            size = os.fstat(file.fileno()).st_size
            if self.remote.exists(name) and self.remote.size(name) == size:
                self.local.delete(name)  # under a name of its own: it is the same file
                return True
            upload = next(self._begun(name), None)
            upload = upload or self.remote.bucket.Object(name).initiate_multipart_upload()
            parts = list(upload.parts.all())
            done = sum(part.size for part in parts)
            if done < size:
                file.seek(done)
                block = file.read(max(PART_BYTES, -(-size // MOST_PARTS)))
                upload.Part(len(parts) + 1).upload(Body=block)
            else:
                parts = [{"PartNumber": part.part_number, "ETag": part.e_tag} for part in parts]
                upload.complete(MultipartUpload={"Parts": parts})
        return True

    def _begun(self, name: str) -> Iterator:
        uploads = self.remote.bucket.multipart_uploads.filter(Prefix=name)
        return (upload for upload in uploads if upload.object_key == name)
