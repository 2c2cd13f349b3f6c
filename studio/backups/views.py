from django.conf import settings
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from gear.list_pages import list_page
from sessions.tasks.models import SOUND, Worker
from studio.backups.models import Backup
from studio.backups.regular import ask_for_backup
from studio.backups.standing import standing
from studio.backups.tables import BackupTable


def backups(request: HttpRequest) -> HttpResponse:
    """The last one, all that were made, and how one is restored."""
    at = standing(timezone.now())
    context = {
        "standing": at,
        "no_worker": at.is_under_way and not Worker.objects.alive(SOUND),
        "folder": settings.BACKUP_FOLDER,
        "every": settings.BACKUP_EVERY_HOURS,
        "keep": settings.BACKUP_KEEP,
        "days": settings.BACKUP_DAYS,
    }
    rows = Backup.objects.select_related("made_by")
    return list_page(request, BackupTable(rows), "studio/backups/page.html", context)


@require_POST
def back_up_now(request: HttpRequest) -> HttpResponse:
    try:
        ask_for_backup(by=request.user)
        messages.success(request, "A backup is being made: it stands below once it is there.")
    except ValidationError as refusal:
        messages.warning(request, refusal.message)
    return redirect("backups")
