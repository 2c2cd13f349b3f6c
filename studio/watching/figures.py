"""Figures for whoever watches over the studio, asked of the database and the disk when they are wanted: so all
processes of all machines give the same, and nobody counts along."""

import shutil
from collections.abc import Iterator
from datetime import datetime

from django.conf import settings
from django.db import connection
from django.db.models import Count, Min
from django.utils import timezone
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult
from prometheus_client import CollectorRegistry
from prometheus_client.core import GaugeMetricFamily, InfoMetricFamily, Metric
from prometheus_client.openmetrics.exposition import generate_latest

from sessions.bookings.models import RecordingSession, Status
from sessions.letters.models import Letter, LetterState
from sessions.takes.models import Take
from sessions.tasks.models import QUEUES, Worker
from studio.backups.models import Backup

AT_WORK = (TaskResultStatus.READY, TaskResultStatus.RUNNING)


def as_text() -> bytes:
    """In the OpenMetrics text format, 1.0.0."""
    registry = CollectorRegistry()
    registry.register(Figures(timezone.now()))
    return generate_latest(registry)


class Figures:
    """What the library collects: every figure that there can be, also where it is 0, for a figure that
    comes and goes raises no alarm."""

    def __init__(self, now: datetime):
        self.now = now

    def describe(self) -> list[Metric]:
        return []  # or the library would collect everything once more

    def collect(self) -> Iterator[Metric]:
        yield InfoMetricFamily(
            "studio", "What the figures are of.", {"database": connection.vendor}
        )
        yield _by("studio_sessions", "Sessions by state.", "state", _sessions())
        yield _one("studio_takes", "Takes that were logged.", Take.objects.count())
        yield from self._tasks()
        yield _by("studio_letters", "Letters by state.", "state", _letters())
        yield from _disk()
        yield from self._backups()

    def _tasks(self) -> Iterator[Metric]:
        counted = GaugeMetricFamily(
            "studio_tasks",
            "Tasks by queue and state; finished ones are forgotten after a week.",
            labels=["queue", "state"],
        )
        age = GaugeMetricFamily(
            "studio_oldest_task_age_seconds",
            "How long the oldest task of a queue has waited or been at work, 0 without one.",
            labels=["queue"],
            unit="seconds",
        )
        workers = GaugeMetricFamily(
            "studio_workers", "Processes that do a queue.", labels=["queue"]
        )
        rows = DBTaskResult.objects.order_by().values_list("queue_name", "status")
        of_state = {
            (queue, state): (count, oldest)
            for queue, state, count, oldest in rows.annotate(Count("pk"), Min("enqueued_at"))
        }
        for queue in QUEUES:
            for state in TaskResultStatus:
                count, _ = of_state.get((queue, state), (0, None))
                counted.add_metric([queue, state.lower()], count)
            at_work = [of_state[queue, state][1] for state in AT_WORK if (queue, state) in of_state]
            age.add_metric([queue], self._seconds_since(min(at_work, default=self.now)))
            workers.add_metric([queue], len(Worker.objects.alive(queue)))
        yield from (counted, age, workers)

    def _backups(self) -> Iterator[Metric]:
        """No age where there is no good one: an age of 0 would look like one made now."""
        failed = Backup.objects.exclude(failure="")
        if last := Backup.objects.last_good():
            failed = failed.filter(made_at__gt=last.made_at)
            since = self._seconds_since(last.made_at)
            yield _one("studio_backup_age_seconds", "Since the last good backup.", since, "seconds")
            yield _one("studio_backup_size_bytes", "Of the last good backup.", last.size, "bytes")
        said = "Backups that failed since the last good one."
        yield _one("studio_backups_failed", said, failed.count())

    def _seconds_since(self, moment: datetime) -> float:
        return max(0.0, (self.now - moment).total_seconds())


def _sessions() -> dict[str, int]:
    counts = RecordingSession.objects.order_by().values_list("status").annotate(Count("pk"))
    return dict.fromkeys(Status.values, 0) | dict(counts)


def _letters() -> dict[str, int]:
    counts = Letter.objects.order_by().values_list("state").annotate(Count("pk"))
    return dict.fromkeys(LetterState.values, 0) | dict(counts)


def _disk() -> Iterator[Metric]:
    """Of the data folder."""
    usage = shutil.disk_usage(settings.DATA_DIR)
    yield _one("studio_disk_free_bytes", "Free on the disk of the data.", usage.free, "bytes")
    yield _one("studio_disk_size_bytes", "Of the disk of the data.", usage.total, "bytes")
    yield _one("studio_database_size_bytes", "Of the database.", _database_bytes(), "bytes")


def _database_bytes() -> int:
    size = {
        "sqlite": "SELECT page_count * page_size FROM pragma_page_count, pragma_page_size",
        "postgresql": "SELECT pg_database_size(current_database())",
    }
    with connection.cursor() as cursor:
        cursor.execute(size[connection.vendor])
        return cursor.fetchone()[0]


def _one(name: str, said: str, value: float, unit: str = "") -> Metric:
    return GaugeMetricFamily(name, said, value=value, unit=unit)


def _by(name: str, said: str, label: str, values: dict[str, int]) -> Metric:
    metric = GaugeMetricFamily(name, said, labels=[label])
    for of, value in values.items():
        metric.add_metric([of], value)
    return metric
