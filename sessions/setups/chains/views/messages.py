from collections.abc import Iterable

from django.contrib import messages
from django.http import HttpRequest

from sessions.setups.models import Revision


def say_lost(request: HttpRequest, lost: Iterable[str]) -> None:
    for sentence in lost:
        messages.warning(request, f"Not carried over: {sentence}")


def message_saved(request: HttpRequest, text: str, *, before: Revision, after: Revision) -> None:
    """Say it, and where the change was made on a copy, which revision that is."""
    if before.pk != after.pk:
        text += (
            f" This is revision {after.number} now; revision {before.number} stays, since "
            "takes were recorded through it."
        )
    messages.success(request, text)
