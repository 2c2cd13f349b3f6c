"""Long papers are made in a process of their own: nobody's page waits, and its memory goes with it.

The papers that wait are the queue, one at a time. Whoever asks for one moves it on: so there is no
worker to run, and a process that died holds nothing up for longer than LONGEST.
"""

import subprocess
import sys
from datetime import timedelta
from threading import Thread

from django.conf import settings
from django.db import connection
from django.utils import timezone

from sessions.papers.stored.models import KeptPaper, PaperState

LONGEST = timedelta(minutes=5)
TOO_LONG = "It took longer than five minutes and was given up."
ENDED = "The printing ended without a paper."


def move_on(paper: KeptPaper) -> None:
    """Start making it, if it waits and no other is being made."""
    overdue = timezone.now() - LONGEST
    making = KeptPaper.objects.filter(state=PaperState.MAKING)
    making.filter(started_at__lt=overdue).update(state=PaperState.FAILED, error=TOO_LONG)
    if making.exists():
        return
    waiting = KeptPaper.objects.filter(pk=paper.pk, state=PaperState.WAITING)
    if waiting.update(state=PaperState.MAKING, started_at=timezone.now()):
        Thread(target=_watch, args=(paper.pk,), daemon=True).start()


def try_again(paper: KeptPaper) -> None:
    KeptPaper.objects.filter(pk=paper.pk, state=PaperState.FAILED).update(
        state=PaperState.WAITING, error=""
    )


def _watch(key: int) -> None:
    """Wait for the process; if it ends and the paper is still being made, it failed."""
    try:
        error = _in_a_process(key)
        KeptPaper.objects.filter(pk=key, state=PaperState.MAKING).update(
            state=PaperState.FAILED, error=error
        )
    finally:
        connection.close()


def _in_a_process(key: int) -> str:
    """What to say if it leaves no paper behind."""
    command = [sys.executable, "-m", "django", "print_paper", str(key)]
    try:
        ended = subprocess.run(
            command,
            cwd=settings.BASE_DIR,
            capture_output=True,
            text=True,
            timeout=LONGEST.total_seconds(),
        )
    except subprocess.TimeoutExpired:
        return TOO_LONG
    said = ended.stderr.strip().splitlines()
    return said[-1] if said else ENDED
