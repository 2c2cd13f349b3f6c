import os
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import models


class BackupQuerySet(models.QuerySet):
    def good(self):
        return self.filter(failure="")

    def kept(self):
        """Whose files nobody has removed."""
        return self.good().filter(removed_at=None)

    def until(self, now: datetime):
        """Without those that were made by a clock that was ahead."""
        return self.filter(made_at__lte=now)

    def last_good(self) -> "Backup | None":
        """The newest whose file lies in place: asks the disk."""
        return next((each for each in self.kept() if each.is_there), None)


class Backup(models.Model):
    """One that ended, well or not. Its file lies on the machine that made it, and may be gone since."""

    made_at = models.DateTimeField(db_index=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )  # none: the studio by itself, or somebody at the server's command line
    file = models.TextField(blank=True)  # its whole path
    size = models.PositiveBigIntegerField(default=0)  # bytes
    sha256 = models.CharField(max_length=64, blank=True)
    holds = models.JSONField(default=dict)  # how many "rows", "files", and files only "listed"
    with_secrets = models.BooleanField(default=False)
    failure = models.TextField(blank=True)  # a sentence; empty where all went well
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = BackupQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return Path(self.file).name or "Backup"

    @property
    def is_there(self) -> bool:
        """Whether its file lies where it was put, as long as it was: asks the disk."""
        return self._length == self.size

    @property
    def is_torn(self) -> bool:
        """Whether it lies there, but shorter or longer than it was: asks the disk."""
        return self._length not in (None, self.size)

    @property
    def _length(self) -> int | None:
        try:
            return os.stat(self.file).st_size
        except OSError:  # gone, or on a disk that is not here
            return None

    def lies_in(self, folder: Path) -> bool:
        return Path(self.file).parent == folder

    def remove(self, now: datetime) -> None:
        """Delete its file; the row stays and says so."""
        Path(self.file).unlink(missing_ok=True)
        self.removed_at = now
        self.save(update_fields=["removed_at"])
