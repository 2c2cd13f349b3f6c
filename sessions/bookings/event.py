"""A session as a file for the client's calendar."""

from datetime import datetime

from django.conf import settings
from django.utils import timezone
from icalendar import vCalAddress, vText

from sessions.bookings.models import RecordingSession, Reservation, Status
from sessions.ical.events import calendar_of, new_event, plain
from sessions.ical.names import name_of
from sessions.periods import duration_in_words, period_in_words
from sessions.rooms.models import HouseRules

# What a paper about the session calls itself, and what it says first. Only what is confirmed is
# called so.
CONFIRMED = ("Confirmation", "This session is confirmed.")
SAYS = {
    Status.ENQUIRY: ("Enquiry", "You asked for this time. Nothing is held for you yet."),
    Status.HELD: ("Hold", "This time is held for you. It is not confirmed yet."),
    Status.CANCELLED: ("Cancellation", "This session is cancelled. Nothing is booked any more."),
}


def session_ics(session: RecordingSession, *, now: datetime | None = None) -> bytes:
    """The session as a published event (RFC 5546, section 3.2.1), to attach or to download.

    The same UID each time and a SEQUENCE that rises, so that a calendar replaces what it had. The
    house is the ORGANIZER where its rules name a sender; that standard wants one. For the client:
    no price, no note, nobody's phone number.
    """
    house = HouseRules.current()
    reserved = list(session.reservations.for_list())
    rooms = [each for each in reserved if each.room_id]
    event = new_event(
        uid=name_of(session, house.calendar_namespace),
        changed_at=now or timezone.now(),
        sequence=session.version - 1,
        starts_at=session.starts_at,
        ends_at=session.ends_at,
        summary=f"{session.title}: {session.project.artist}",
        location=", ".join([*(each.room.name for each in rooms), settings.STUDIO_NAME]),
        description=[
            f"{session.project.name}, {session.project.artist}",
            SAYS.get(session.status, CONFIRMED)[1],
            *(
                f"{each.room}: {words[0].lower()}{words[1:]}"
                for each in rooms
                for words in padding_in_words(each)
            ),
        ],
        status=STATUS_WORDS.get(session.status, "CONFIRMED"),
        busy=session.takes_time,
    )
    if house.sender:
        organizer = vCalAddress(f"mailto:{house.sender}")
        organizer.params["CN"] = vText(plain(settings.STUDIO_NAME))
        event.add("organizer", organizer)
    return calendar_of([event], method="PUBLISH")


STATUS_WORDS = {
    Status.ENQUIRY: "TENTATIVE",
    Status.HELD: "TENTATIVE",
    Status.CANCELLED: "CANCELLED",
}


def padding_in_words(reservation: Reservation) -> list[str]:
    """What of the reservation lies before and after its work; nothing where there is none."""
    around = [
        ("Before", reservation.starts_at, reservation.ready_at),
        ("After", reservation.done_at, reservation.ends_at),
    ]
    return [
        f"{word}, {duration_in_words(until - since)}: {period_in_words(since, until)}"
        for word, since, until in around
        if since < until
    ]
