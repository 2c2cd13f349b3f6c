"""Backups that are made by themselves, and those that somebody asks for: by the worker.

In the queue of sound, where what takes long holds up no letter and no paper.
"""

from datetime import datetime, timedelta

from django.conf import settings
from django.contrib.auth import get_user_model
from django.core.exceptions import ValidationError
from django.utils import timezone
from django_tasks import TaskResultStatus, task
from django_tasks_db.models import DBTaskResult

from gear.acting import action
from sessions.tasks.models import SOUND
from studio.backups.actions import BeingMade, back_up
from studio.backups.keeping import prune
from studio.backups.models import Backup

AGAIN_AFTER = timedelta(hours=1)  # where one failed
AT_WORK = (TaskResultStatus.READY, TaskResultStatus.RUNNING)


def period() -> timedelta:
    return timedelta(hours=settings.BACKUP_EVERY_HOURS)


def want_due(now: datetime) -> None:
    """Regular work: have one made, where a folder is set and it is time."""
    if settings.BACKUP_FOLDER and _is_due(now) and not is_being_made():
        make_backup.enqueue(None)


def _is_due(now: datetime) -> bool:
    """By the last good one of any folder; after one that failed it is tried again soon."""
    made = Backup.objects.until(now)
    last = made.good().first()
    if last and now - last.made_at < period():
        return False
    newest = made.first()
    return newest is None or newest == last or now - newest.made_at >= min(period(), AGAIN_AFTER)


def is_being_made() -> bool:
    """Whether one waits for the worker or is at work there."""
    tasks = DBTaskResult.objects.filter(task_path=make_backup.module_path, status__in=AT_WORK)
    return tasks.exists()


@action
def ask_for_backup(*, by) -> None:
    """Have one made now."""
    if not settings.BACKUP_FOLDER:
        raise ValidationError("No folder is set for backups: BACKUP_FOLDER.")
    if is_being_made():
        raise ValidationError("A backup is being made already.")
    make_backup.enqueue(by.pk)


@task(queue_name=SOUND)
def make_backup(by: int | None) -> None:
    """Make one and remove what is not kept; how it ended stands in its row. Run twice, there are two."""
    try:
        made = back_up(settings.BACKUP_FOLDER, by=get_user_model().objects.filter(pk=by).first())
    except BeingMade:
        return
    if not made.failure:
        kept = {"keep": settings.BACKUP_KEEP, "days": settings.BACKUP_DAYS}
        prune(settings.BACKUP_FOLDER, **kept, now=timezone.now())
