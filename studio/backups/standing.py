"""How the studio stands with its backups: what the page says, and Today where something is to be done."""

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from pathlib import Path

from django.conf import settings

from studio.backups.models import Backup
from studio.backups.regular import is_being_made, period

TOO_OLD = 2  # periods without a good one


@dataclass(frozen=True)
class Standing:
    """`newest` is the last one that ended, well or not."""

    now: datetime
    newest: Backup | None

    @cached_property
    def last(self) -> Backup | None:
        """The last good one that lies in place; asks the database only where that is not the newest."""
        if self.newest is None or (not self.newest.removed_at and self.newest.is_there):
            return self.newest
        return Backup.objects.until(self.now).last_good()

    @property
    def failed(self) -> Backup | None:
        """The newest, if it failed."""
        return self.newest if self.newest and self.newest.failure else None

    @cached_property
    def is_under_way(self) -> bool:
        return is_being_made()

    @property
    def is_set_up(self) -> bool:
        return bool(settings.BACKUP_FOLDER)

    @property
    def is_old(self) -> bool:
        return self.last is not None and self.now - self.last.made_at > TOO_OLD * period()

    @property
    def wants_somebody(self) -> bool:
        """Whether there is none, nor one on the way, or only an old one."""
        return self.is_old or (self.last is None and not self.is_under_way)

    @property
    def is_beside_the_data(self) -> bool:
        """Whether one broken disk would take the data and their backups."""
        folder, data = Path(settings.BACKUP_FOLDER), Path(settings.DATA_DIR)
        return self.is_set_up and folder.is_dir() and folder.stat().st_dev == data.stat().st_dev


def standing(now: datetime) -> Standing:
    return Standing(now, Backup.objects.until(now).first())
