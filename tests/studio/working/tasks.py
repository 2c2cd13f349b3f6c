"""Tasks that tests enqueue."""

import signal
import time

from django_tasks import task

from sessions.tasks.models import SOUND

done = []


@task
def note(word: str) -> None:
    done.append(word)


@task
def fail() -> None:
    raise ValueError("Nothing comes of this.")


@task
def hang() -> None:
    time.sleep(60)


@task(queue_name=SOUND)
def measured_for_hours() -> None:
    remaining, _ = signal.getitimer(signal.ITIMER_REAL)
    done.append(f"given up in {remaining:g} s" if remaining else "measured")
