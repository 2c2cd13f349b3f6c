from datetime import timedelta

from django.utils import timezone


def at(days: int, hour: int):
    """That many days from today, on the hour, in the studio's zone."""
    midnight = timezone.localtime().replace(hour=0, minute=0, second=0, microsecond=0)
    return midnight + timedelta(days=days, hours=hour)
