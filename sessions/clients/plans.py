"""What a person has before them: reservations and credits belong to slices above, and are reached from
the person."""

from datetime import datetime

from django.db.models import QuerySet

from sessions.clients.models import Person


def booked_to_come(person: Person, now: datetime) -> QuerySet:
    """Their reservations for sessions that are not over, the next first."""
    booked = person.reservations.standing().filter(session__isnull=False, ends_at__gt=now)
    return booked.select_related("session__project__client").order_by("starts_at", "pk")


def credited_to_come(person: Person, now: datetime) -> QuerySet:
    """Their credits for sessions that are not over nor cancelled, the next first."""
    credits = person.credits.filter(session__ends_at__gt=now).exclude(session__status="cancelled")
    return credits.select_related("session__project").order_by("session__starts_at", "pk")


def away_to_come(person: Person, now: datetime) -> QuerySet:
    """When they are not to be had, the next first; why is nobody's business."""
    away = person.reservations.select_related("block").filter(block__removed=False, ends_at__gt=now)
    return away.order_by("starts_at", "pk")
