"""Which backups are kept: so many, and none too old, but always the last good one."""

from datetime import datetime, timedelta

from studio.backups.models import Backup


def prune(*, keep: int, days: int, now: datetime) -> list[Backup]:
    """Remove the files that are too many (beyond the newest `keep`) or older than so many `days`, and
    give what was removed; 0 asks for nothing. Only what has a row is touched, and of those whose files
    are in place the newest stays, whatever its age."""
    there = [backup for backup in Backup.objects.kept() if backup.is_there]
    oldest = now - timedelta(days=days)
    gone = [
        backup
        for number, backup in enumerate(there)
        if number and ((keep and number >= keep) or (days and backup.made_at < oldest))
    ]
    for backup in gone:
        backup.remove(now)
    return gone
