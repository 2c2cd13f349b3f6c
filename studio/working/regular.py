"""What is done again and again, whoever asks for it or not: by the worker that is longest at work, and has time."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from time import monotonic

from axes.models import AccessAttempt
from django.core.management import call_command
from django.db import connection
from django.utils import timezone

from sessions.bookings.challenges.actions import lapse_due
from sessions.bookings.telling.reminders import remind_due
from sessions.deliverables.listening.light_copies import want_missing
from sessions.deliverables.measured import measure_forgotten
from sessions.deliverables.uploads.upkeep import tidy_uploads
from sessions.editing.presses import Press
from sessions.letters.models import Letter
from sessions.letters.sending import send
from sessions.links.models import WrongGuess
from sessions.papers.stored.upkeep import follow_changes, remove_leftovers
from sessions.recall.finding.upkeep import READ_AGAIN, bring_up_to_date
from sessions.recall.proving.running import read_forgotten
from sessions.storing import remove_without_row, sweep_incoming
from sessions.tasks.models import Worker
from studio.backups.regular import want_due
from studio.known_devices import KnownDevice
from studio.signed_in import SignedIn

OVERLAP = timedelta(minutes=2)  # what was done before a worker began may have been missed
NEVER = datetime.min.replace(tzinfo=UTC)
CLOCK_WAS_SET = timedelta(minutes=5)  # so much ahead or behind all at once
SELDOM = timedelta(hours=1)
RESULTS_KEPT = 7  # days

logger = logging.getLogger(__name__)


@dataclass(frozen=True)
class Job:
    every: timedelta
    do: Callable[[datetime, datetime], object]  # since when it was begun last, and now


def tidy(since: datetime, now: datetime) -> None:
    SignedIn.objects.filter(expire_date__lt=now).delete()
    KnownDevice.objects.forget_old(now)
    AccessAttempt.objects.filter(attempt_time__lt=now - timedelta(days=1)).delete()
    call_command("prune_db_task_results", queue_name="*", min_age_days=RESULTS_KEPT, verbosity=0)
    remove_leftovers()
    remove_without_row(now)
    sweep_incoming(now)
    tidy_uploads(now)
    measure_forgotten()
    read_forgotten()
    Press.objects.forget_old(now)
    WrongGuess.objects.forget_old(now)
    Worker.objects.filter(signed_at__lt=now - timedelta(days=1)).delete()


JOBS = (
    Job(timedelta(seconds=2), lambda since, now: send(Letter.objects.untried())),
    Job(timedelta(seconds=2), follow_changes),
    Job(timedelta(seconds=10), lambda since, now: want_missing()),
    Job(timedelta(seconds=10), lambda since, now: bring_up_to_date()),
    Job(timedelta(minutes=1), lambda since, now: lapse_due(now)),
    Job(timedelta(minutes=1), lambda since, now: remind_due(now)),
    Job(timedelta(minutes=5), lambda since, now: want_due(now)),
    Job(timedelta(minutes=5), lambda since, now: send(Letter.objects.all())),
    Job(timedelta(hours=1), lambda since, now: bring_up_to_date(read_again=READ_AGAIN)),
    Job(timedelta(hours=1), tidy),
)


class RegularWork:
    def __init__(self, jobs: tuple[Job, ...] = JOBS):
        self._begun = dict.fromkeys(jobs, NEVER)
        self._looked = timezone.now(), monotonic()

    def _time(self) -> datetime:
        """Now. Where the clock was set meanwhile, what comes round seldom begins to count anew: it removes
        what is old, and by a clock that was just set nothing can be said to be."""
        before, ticks = self._looked
        now = timezone.now()
        self._looked = now, monotonic()
        should_be = before + timedelta(seconds=self._looked[1] - ticks)
        if abs(now - should_be) > CLOCK_WAS_SET:
            logger.warning("The clock was set from %s to %s", should_be, now)
            self._begun |= {job: now for job in self._begun if job.every >= SELDOM}
        return now

    def do_due(self, worker_name: str) -> None:
        """A job that fails leaves its trace and is done again in its turn; the others go on."""
        now = self._time()
        # One that was begun later than now was begun before the clock was set back.
        last = {job: begun for job, begun in self._begun.items() if begun <= now}
        due = [job for job in self._begun if job not in last or now - last[job] >= job.every]
        if not due or not Worker.objects.is_first(worker_name):
            return
        for job in due:
            since, self._begun[job] = max(last.get(job, NEVER), now - OVERLAP), now
            try:
                job.do(since, now)
            except Exception:
                logger.exception("Regular work failed")
                connection.close_if_unusable_or_obsolete()
