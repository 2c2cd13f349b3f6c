"""Which backups are kept: so many, and none too old, but always the last good one."""

from datetime import datetime, timedelta
from pathlib import Path

from studio.backups.models import Backup


def prune(folder: Path | str, *, keep: int, days: int, now: datetime) -> list[Backup]:
    """Remove the files of the folder that are too many (beyond the newest `keep`) or older than so many
    `days`, and give what was removed; 0 asks for nothing. Only what has a row is touched, nothing in
    another folder, and of those whose files are in place the newest stays, whatever its age."""
    folder = Path(folder).absolute()
    there = [each for each in Backup.objects.kept() if each.is_there and each.lies_in(folder)]
    oldest = now - timedelta(days=days)
    gone = [
        backup
        for number, backup in enumerate(there)
        if number and ((keep and number >= keep) or (days and backup.made_at < oldest))
    ]
    for backup in gone:
        backup.remove(now)
    return gone
