"""How the studio stands with its backups: what the page says, and Today where something is to be done."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings

from studio.backups.models import Backup
from studio.backups.regular import is_being_made, period

TOO_OLD = 2  # periods without a good one


@dataclass(frozen=True)
class Standing:
    """`failed` is the newest one, where it failed."""

    now: datetime
    last: Backup | None
    failed: Backup | None
    is_under_way: bool

    @property
    def is_set_up(self) -> bool:
        return bool(settings.BACKUP_FOLDER)

    @property
    def is_old(self) -> bool:
        return self.last is not None and self.age > TOO_OLD * period()

    @property
    def age(self) -> timedelta:
        return self.now - self.last.made_at

    @property
    def wants_somebody(self) -> bool:
        """Whether there is none, or only an old one; not before the worker had time for the first."""
        return self.is_old or (self.last is None and not self.is_under_way)

    @property
    def is_beside_the_data(self) -> bool:
        """Whether one broken disk would take the data and their backups."""
        folder = Path(settings.BACKUP_FOLDER)
        data = Path(settings.DATA_DIR)
        return self.is_set_up and folder.is_dir() and folder.stat().st_dev == data.stat().st_dev


def standing(now: datetime) -> Standing:
    newest = Backup.objects.first()
    return Standing(
        now=now,
        last=Backup.objects.last_good(),
        failed=newest if newest and newest.failure else None,
        is_under_way=is_being_made(),
    )
