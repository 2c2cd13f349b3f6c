"""Tasks that tests enqueue."""

import time

from django_tasks import task

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
