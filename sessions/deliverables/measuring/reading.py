"""What has been read of a file: its checksum, and how much it is of the whole."""

import hashlib
import time
from collections.abc import Callable
from pathlib import Path

PIECE_BYTES = 1 << 20


class Reading:
    """Follows a decoder through a file and hashes the bytes that it has just read, which the system
    still holds: the disk gives them once. Tells the percentage, once a second at most."""

    def __init__(self, path: Path, tell: Callable[[int], None]):
        self._file = path.open("rb", buffering=0)
        self._size = path.stat().st_size
        self._sum = hashlib.sha256()
        self._piece = memoryview(bytearray(PIECE_BYTES))
        self._tell = tell
        self._told_at = time.monotonic()

    def __enter__(self):
        return self

    def __exit__(self, *error):
        self._file.close()

    def follow(self, position: int | None) -> None:
        """The decoder is at this byte, if it knows."""
        if (position or 0) - self._file.tell() < PIECE_BYTES:
            return
        while position - self._file.tell() >= PIECE_BYTES and self._hash_piece():
            pass
        now = time.monotonic()
        if now - self._told_at >= 1:
            self._tell(min(99, 100 * position // self._size))
            self._told_at = now

    def sha256(self) -> str:
        """Of the whole file."""
        while self._hash_piece():
            pass
        return self._sum.hexdigest()

    def _hash_piece(self) -> int:
        count = self._file.readinto(self._piece)
        self._sum.update(self._piece[:count])
        return count
