"""How often a session has changed: the SEQUENCE of its event in the calendars of others.

RFC 5546, section 2.1.4: it rises with every change of time or status and with every cancellation,
also with that of one attendee, and a calendar never takes a lower one for news. So it counts what
the histories of the session, of what it takes and of who is credited hold; those only grow.
"""

from django.db.models import Count, Model, OuterRef, Subquery, Value
from django.db.models.functions import Coalesce

from sessions.bookings.models import Credit, RecordingSession, Reservation

COUNTED = ((RecordingSession, "id"), (Reservation, "session_id"), (Credit, "session_id"))


def sequence_of(session: RecordingSession) -> int:
    """Costs one query."""
    rows = RecordingSession.objects.filter(pk=session.pk).order_by()
    return rows.values_list(changes_of("pk")).get()[0]


def changes_of(session_key: str):
    """The same as an expression, for a query in which that field is the session's key."""
    return sum((_changes(model, field, session_key) for model, field in COUNTED), start=Value(0))


def _changes(model: type[Model], field: str, session_key: str) -> Coalesce:
    rows = model.history.filter(**{field: OuterRef(session_key)}).order_by().values(field)
    return Coalesce(Subquery(rows.annotate(changes=Count("*")).values("changes")), 0)
