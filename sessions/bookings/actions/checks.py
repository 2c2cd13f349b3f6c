"""What can be booked at all."""

from datetime import datetime, timedelta

from django.db.models import Model
from django.utils import timezone

from gear.equipment.models import Unit
from sessions.bookings.clashes import BookingRefused, check_order
from sessions.bookings.models import Status
from sessions.clients.models import Person
from sessions.rooms.resources import by_field, by_kind

LONGEST = timedelta(days=31)
TOO_LONG = "A session is at most 31 days long. Book a longer one as several sessions."


def check_not_over(status: str, ends_at: datetime) -> None:
    """Raises BookingRefused for an enquiry or a hold on time that is over already.

    A confirmed session may be put on record afterwards.
    """
    if status in (Status.ENQUIRY, Status.HELD) and ends_at <= timezone.now():
        raise BookingRefused(
            {
                "ends_at": "This time is over already. Only a confirmed session may be entered "
                "afterwards; give an enquiry or a hold a future time."
            }
        )


def check_period(
    starts_at: datetime, ends_at: datetime, longest: timedelta = LONGEST, why: str = TOO_LONG
) -> None:
    """Raises BookingRefused for a period that ends before it starts or that nobody books."""
    check_order(starts_at, ends_at)
    if ends_at - starts_at > longest:
        raise BookingRefused({"ends_at": why})


def check_rooms(resources: list[Model]) -> None:
    if not by_kind(resources)["room"]:
        raise BookingRefused({"rooms": "Nothing is reserved yet: choose at least one room."})


def check_bookable(resources: list[Model]) -> None:
    """Raises BookingRefused for what is out of service or out of the house."""
    if refused := by_field((each, why) for each in resources if (why := _why_not(each))):
        raise BookingRefused(refused)


def _why_not(resource: Model) -> str:
    """Why a room, person or unit cannot be newly booked; empty where it can."""
    if isinstance(resource, Unit):
        return resource.why_not()
    if resource.retired:
        return f"{resource} is retired and takes no new bookings."
    if isinstance(resource, Person) and not resource.bookable:
        return (
            f"{resource} is not bookable. Tick “bookable” for them first, or choose somebody else."
        )
    return ""
