"""Who worked in the sessions of an imported sheet, and whom to ask there."""

from collections.abc import Iterable

from sessions.recall.imported.shown.things import Things
from sessions.recall.sheet.people import Contact, CreditLine, SessionPeople


def people_told(data: Iterable[dict], things: Things) -> tuple[SessionPeople, ...]:
    return tuple(
        SessionPeople(
            things.session({name: each[name] for name in ("title", "starts_at")}),
            tuple(each["rooms"]),
            tuple(CreditLine(**credit) for credit in each["credits"]),
        )
        for each in data
    )


def contact_told(data: dict | None) -> Contact | None:
    return Contact(**data) if data else None
