from contextlib import contextmanager
from datetime import datetime, timedelta
from unittest import mock

from django.utils import timezone


def at(days: int, hour: int, minute: int = 0) -> datetime:
    """That many days from today, at that time, in the studio's zone."""
    today = datetime.now(timezone.get_current_timezone())  # also inside `as_of`
    midnight = today.replace(hour=0, minute=0, second=0, microsecond=0)
    return midnight + timedelta(days=days, hours=hour, minutes=minute)


@contextmanager
def as_of(moment: datetime):
    """Let the product's actions take that for now, so that takes and histories say when a day's
    work was done and not when the demo was filled."""
    with mock.patch.object(timezone, "now", return_value=moment):
        yield
