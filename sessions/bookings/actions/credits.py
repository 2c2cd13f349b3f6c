from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import Credit, RecordingSession
from sessions.clients.models import Person


def give_credit(
    session: RecordingSession, *, person: Person, role: str, instrument: str = ""
) -> Credit:
    """Raises BookingRefused where the person has that very credit, so that a double press is told."""
    credit, is_new = session.credits.get_or_create(person=person, role=role, instrument=instrument)
    if not is_new:
        raise BookingRefused(f"{person} has that credit already.")
    return credit
