from dataclasses import dataclass
from functools import cached_property

from django.db.models import Exists
from django.http import HttpRequest

from gear.equipment.models import Unit
from sessions.bookings.models import RecordingSession
from sessions.clients.models import Person
from sessions.letters.sending import mail_is_sent
from sessions.rooms.models import Room, Studio
from sessions.terms.models import CancellationStep, Rate
from studio.first_steps.forms import (
    GenericGearForm,
    OwnNameForm,
    RatesForm,
    RoomNameForm,
    StaffForm,
    StudioFactsForm,
    TermsForm,
)
from studio.models import User


@dataclass(frozen=True)
class Kind:
    """`pages` are where more can be done, each with its words; one without a form leads there."""

    title: str
    why: str
    form: type | None
    action: str
    pages: dict[str, str]
    can_wait: bool = False
    again: bool = False  # whether it may be done once more


KINDS = {
    "you": Kind(
        "You",
        "Who signs in is one of the studio’s people.",
        OwnNameForm,
        "Save",
        {"clients:people": "People"},
    ),
    "facts": Kind(
        "The studio",
        "What stands on every page, paper and letter.",
        StudioFactsForm,
        "Save",
        {"rooms:studio": "All facts and the logo"},
    ),
    "rooms": Kind(
        "Rooms",
        "What is booked. Hours and leave can follow.",
        RoomNameForm,
        "Add room",
        {"rooms:list": "Rooms", "rooms:hours": "Opening hours"},
        again=True,
    ),
    "people": Kind(
        "People",
        "Engineers and assistants, and who of them signs in.",
        StaffForm,
        "Add person",
        {
            "clients:people": "People",
            "clients:import_people": "Import CSV",
            "sign_ins": "Sign-ins",
        },
        again=True,
    ),
    "gear": Kind(
        "Gear",
        "Generic kinds to begin with, or your own list.",
        GenericGearForm,
        "Add gear",
        {"equipment:import_models": "Import models", "equipment:import_units": "Import units"},
        can_wait=True,
        again=True,
    ),
    "rates": Kind(
        "Rates",
        "A price by the hour. All else stands on the card.",
        RatesForm,
        "Save rates",
        {
            "terms:cards": "Rate cards",
            "terms:agreed_house": "Rates and terms of the house",
            "rooms:house_rules": "Currency and tax",
        },
        can_wait=True,
    ),
    "terms": Kind(
        "Cancellation terms",
        "What it costs to cancel late.",
        TermsForm,
        "Save terms",
        {"terms:list": "Cancellation terms"},
        can_wait=True,
    ),
    "booking": Kind(
        "First booking",
        "Client and project are made on the way.",
        None,
        "Book a session",
        {
            "bookings:create": "Book a session",
            "clients:import_clients": "Import clients",
            "calendar_import:page": "Import a calendar",
        },
    ),
}


@dataclass
class Step:
    key: str
    kind: Kind
    done: bool
    request: HttpRequest
    data: dict | None = None
    is_open: bool = False

    @cached_property
    def form(self):
        if not self.kind.form or (self.done and not self.kind.again):
            return None
        return self.kind.form.for_request(self.request, self.data, self.key)


@dataclass(frozen=True)
class FirstSteps:
    steps: list[Step]

    def step(self, key: str) -> Step:
        return next(step for step in self.steps if step.key == key)

    @property
    def done(self) -> int:
        return sum(step.done for step in self.steps)

    @property
    def are_done(self) -> bool:
        return self.done == len(self.steps)

    @property
    def sends_mail(self) -> bool:
        return mail_is_sent()


def first_steps_of(request: HttpRequest, *, posted: str = "") -> FirstSteps:
    """Ticked off from what is there, in one query; the first that is not, or the one that was
    `posted`, is open."""
    standing = _standing(request.user)
    steps = [
        Step(key, kind, standing[f"has_{key}"], request, request.POST if key == posted else None)
        for key, kind in KINDS.items()
    ]
    to_open = posted or next((step.key for step in steps if not step.done), "")
    for step in steps:
        step.is_open = step.key == to_open
    return FirstSteps(steps)


def _standing(user: User) -> dict[str, bool]:
    there = {
        "you": Person.objects.filter(user=user),
        "facts": Studio.objects.exclude(address="", phone="", email=""),
        "rooms": Room.objects.current(),
        "people": Person.objects.bookable(),
        "gear": Unit.objects.all(),
        "rates": Rate.objects.filter(card__retired=False),
        "terms": CancellationStep.objects.filter(terms__retired=False),
        "booking": RecordingSession.objects.all(),
    }
    facts = {f"has_{key}": Exists(rows) for key, rows in there.items()}
    return User.objects.filter(pk=user.pk).values(**facts).get()
