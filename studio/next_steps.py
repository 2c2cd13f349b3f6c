"""Where nothing is listed yet, what is missing and where that is done: for each page, in one place.

A page that lists something shows it by `{% next_step %}` (tables do so by themselves), one that makes
something of what must be there first by `{% lacks %}`.
"""

from collections.abc import Callable
from dataclasses import dataclass

from django.db.models import QuerySet

from gear.equipment.models import GearModel, Unit
from sessions.clients.models import Person, Project
from sessions.rooms.models import Room
from sessions.terms.models import RateCard


@dataclass(frozen=True)
class NextStep:
    """`words` say what is missing, `action` what is done on the `page` (a URL name)."""

    words: str
    page: str
    action: str


NEW_ROOM = ("rooms:create", "New room")
NEW_CARD = ("terms:card_create", "New rate card")
BOOK = ("bookings:create", "Book a session")
SONGS_BELONG = "No song yet: songs belong to a client’s project."

EMPTY = {
    "clients:list": NextStep("No client yet: who books and pays.", "clients:create", "New client"),
    "clients:people": NextStep(
        "Nobody is listed yet: engineers, musicians, contacts.",
        "clients:person_create",
        "New person",
    ),
    "songs:list": NextStep(SONGS_BELONG, "clients:list", "Clients"),
    "bookings:list": NextStep("No session is booked yet.", *BOOK),
    "letters:list": NextStep(
        "No letter yet: they are written as sessions are booked, moved and delivered.", *BOOK
    ),
    "schedule:day": NextStep("No room is listed yet.", *NEW_ROOM),
    "schedule:week": NextStep("No room is listed yet.", *NEW_ROOM),
    "rooms:list": NextStep("No room yet: what is booked.", *NEW_ROOM),
    "rooms:hours": NextStep("No room is listed yet.", *NEW_ROOM),
    "blocks:list": NextStep(
        "Nothing is blocked: no leave, no maintenance.", "blocks:create", "New block"
    ),
    "equipment:list": NextStep(
        "No unit yet. A unit is one of a model: models come first, one by one or by list.",
        "equipment:models",
        "Models",
    ),
    "equipment:models": NextStep("No model yet.", "equipment:model_create", "New model"),
    "patchbay:list": NextStep("No patch bay yet.", "patchbay:bay_create", "New bay"),
    "media:list": NextStep("No medium yet: a drive or a folder.", "media:create", "New medium"),
    "rebuild:list": NextStep(
        "No rebuild yet: one is started from the recall sheet of a song.", "songs:list", "Songs"
    ),
    "money:papers": NextStep(
        "No quote and no work order yet: they are issued on the page of a session.",
        "bookings:list",
        "Sessions",
    ),
    "invoices:list": NextStep(
        "No invoice yet: a session’s work order, a client’s page and what is unbilled lead to one.",
        "usage:unbilled",
        "Unbilled sessions",
    ),
    "payments:list": NextStep(
        "No payment yet: it is recorded on its client’s page, or on that of the invoice.",
        "invoices:list",
        "Invoices",
    ),
    "terms:cards": NextStep("No rate card yet. A session without one has no price.", *NEW_CARD),
    "terms:list": NextStep(
        "No terms yet. Without them a cancellation costs whatever you agree.",
        "terms:create",
        "New terms",
    ),
}

Lack = tuple[Callable[[], QuerySet], NextStep]

LACKS: dict[str, list[Lack]] = {
    "bookings:create": [
        (
            Room.objects.current,
            NextStep("No room is listed yet: a session takes one.", *NEW_ROOM),
        ),
        (
            Person.objects.bookable,
            NextStep("Nobody is listed who can be booked.", "clients:person_create", "New person"),
        ),
    ],
    "free:search": [
        (
            Room.objects.current,
            NextStep("No room is listed yet, so there is no free time to find.", *NEW_ROOM),
        )
    ],
    "blocks:create": [
        (
            Room.objects.current,
            NextStep(
                "No room is listed yet: what is blocked is a room, a person or a unit.", *NEW_ROOM
            ),
        )
    ],
    "calendar_import:page": [
        (
            Room.objects.current,
            NextStep("No room is listed yet: whatever is imported takes one.", *NEW_ROOM),
        ),
        (
            Project.objects.current,
            NextStep(
                "No project yet: without one only blocks can be imported. Projects are made on the "
                "pages of clients.",
                "clients:list",
                "Clients",
            ),
        ),
    ],
    "gear_sets:create": [
        (
            Unit.objects.in_service,
            NextStep(
                "A gear set is of units, and no unit is listed yet.", "equipment:list", "Units"
            ),
        )
    ],
    "equipment:unit_create": [
        (
            GearModel.objects.all,
            NextStep(
                "A unit is one of a model, and no model is listed yet.",
                "equipment:model_create",
                "New model",
            ),
        )
    ],
    "terms:rate_create": [
        (
            Room.objects.current,
            NextStep(
                "No room is listed yet: what has a price is a room, a person or a unit.", *NEW_ROOM
            ),
        )
    ],
    "money:choose": [
        (
            RateCard.objects.filter(retired=False).all,
            NextStep("No rate card is there to choose.", *NEW_CARD),
        )
    ],
    "imported:new_song": [
        (
            Project.objects.current,
            NextStep("No project yet: a song belongs to one.", "clients:list", "Clients"),
        )
    ],
}


def missing_on(page: str) -> NextStep | None:
    """What must be there first on a page that makes something; a query for each that may be missing."""
    return next((step for rows, step in LACKS.get(page, []) if not rows().exists()), None)
