"""Names of our events in the calendars of others: stable, and telling nothing.

RFC 7986, section 5.3: a UID should be a UUID and hold neither a host name nor personal data. Ours
are version 5 of RFC 9562: made of the house's own namespace, so that two houses never give the same.
"""

from uuid import UUID, uuid5

from django.db.models import Model


def name_of(row: Model, house: UUID, part: str = "") -> str:
    """The UID of a stored row, or of a named part of it: the same for as long as the row is there."""
    return str(uuid5(house, f"{row._meta.model_name} {row.pk} {part}".strip()))
