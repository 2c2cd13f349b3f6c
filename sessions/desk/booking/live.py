"""What stands beside the booking form while it is filled in: what is free then, what is in the way
and what else could be booked. Nothing is saved."""

import json
from dataclasses import dataclass, field
from functools import cached_property

from django.db.models import Model

from sessions.bookings.all_clashes import all_clashes
from sessions.bookings.clashes import (
    BookingRefused,
    Clash,
    ClashError,
    SessionInTheWay,
    in_sentences,
)
from sessions.bookings.models import (
    BlockKind,
    RecordingSession,
    Reservation,
    Status,
    standing_in_words,
)
from sessions.bookings.outside_hours import OutsideHours, OutsideHoursError, outside_hours
from sessions.bookings.padding import Padding, usual_padding
from sessions.clients.models import Client
from sessions.desk.booking.alternatives import Alternative, alternatives
from sessions.desk.booking.forms import SessionForm
from sessions.desk.booking.live_price import WantedPrice, wanted_price
from sessions.desk.booking.offers import as_last_time, gear_sets, last_session_of
from sessions.periods import Period
from sessions.rooms.models import Room
from sessions.rooms.resources import FIELDS, KINDS

CHOSEN = tuple(FIELDS.values())
WHEN = "Choose when it starts and ends: what is free then shows here."


@dataclass
class Live:
    """What may be said of a form as it is filled in, whether or not all of it is right."""

    form: SessionForm
    session: RecordingSession | None = None
    asked: dict = field(default_factory=dict)

    @cached_property
    def period(self) -> Period | None:
        starts_at, ends_at = self.asked.get("starts_at"), self.asked.get("ends_at")
        return (starts_at, ends_at) if starts_at and ends_at and starts_at < ends_at else None

    @cached_property
    def chosen(self) -> list[Model]:
        return [each for name in CHOSEN for each in self.asked.get(name) or ()]

    @cached_property
    def has(self) -> dict[Model, Reservation]:
        """What the session takes already."""
        reservations = self.session.reservations.all() if self.session else ()
        return {each.resource: each for each in reservations}

    @cached_property
    def wanted(self) -> dict[Model, Period]:
        """All that may be booked, with the time that it would be taken for."""
        if not self.period:
            return {}
        everything = dict.fromkeys([*self.chosen, *self.form.offered])
        return {each: self._padding_of(each).around(*self.period) for each in everything}

    def _padding_of(self, resource: Model) -> Padding:
        """What it has already, else what is usual, and of a room what is asked for."""
        if resource in self.has:
            return self.has[resource].padding
        return self.form.around_rooms if isinstance(resource, Room) else usual_padding(resource)

    @cached_property
    def taken(self) -> dict[Model, list[Clash]]:
        return all_clashes(self.wanted, ignoring=self.session)

    @cached_property
    def outside(self) -> list[OutsideHours]:
        """Nothing of a lockout, which is for all hours."""
        if self.asked.get("lockout"):
            return []
        return outside_hours({each: [period] for each, period in self.wanted.items()})

    @cached_property
    def clashes(self) -> list[Clash]:
        """Not of what the session goes without already: that stays missing."""
        chosen = [each for each in self.chosen if each not in self.missing]
        return [clash for each in chosen for clash in self.taken.get(each, ())]

    @cached_property
    def missing(self) -> list[Model]:
        """What the session goes without, and would still have to."""
        has, taken = self.has, self.taken
        return [each for each in self.chosen if each in taken and each in has and has[each].missing]

    @property
    def in_the_way(self) -> list[str]:
        return [*in_sentences(self.clashes), *map(str, self.outside_chosen)]

    @cached_property
    def refusal(self) -> BookingRefused | None:
        """Why what is chosen could not be booked as it is."""
        if self.clashes and not self.queues:
            return ClashError(self.clashes)
        if self.outside_chosen and not self.asked.get("all_the_same"):
            return OutsideHoursError(self.outside_chosen)
        return None

    @property
    def queues(self) -> bool:
        return bool(self.asked.get("queue_behind")) and self.status == Status.HELD

    @property
    def status(self) -> str:
        return self.asked.get("status") or (self.session.status if self.session else "")

    @cached_property
    def outside_chosen(self) -> list[OutsideHours]:
        """What is closed or off then, of what is newly chosen or wanted for longer."""
        return [
            each
            for each in self.outside
            if each.resource in self.chosen and not self._keeps(each.resource)
        ]

    def _keeps(self, resource: Model) -> bool:
        before, period = self.has.get(resource), self.wanted[resource]
        return bool(before) and before.starts_at <= period[0] and period[1] <= before.ends_at

    @cached_property
    def alternatives(self) -> list[Alternative]:
        if not self.refusal:
            return []
        return alternatives(
            self.refusal,
            rooms=self.asked.get("rooms", ()),
            people=self.asked.get("people", ()),
            units=self.asked.get("units", ()),
            starts_at=self.period[0],
            ends_at=self.period[1],
            padding={each: self._padding_of(each) for each in self.chosen},
            at_all_hours=bool(self.asked.get("lockout") or self.asked.get("all_the_same")),
            ignoring=self.session,
        )

    @cached_property
    def client(self) -> Client | None:
        """Who it is for, as far as they are a client already."""
        if project := self.asked.get("project"):
            return project.client
        named = self.asked.get("client")
        return named and Client.objects.filter(name__iexact=named).first()

    @cached_property
    def last_time(self) -> Alternative | None:
        """Of a new booking, what the client took the last time."""
        last = self.client and not self.session and last_session_of(self.client)
        if not last:
            return None
        return as_last_time(last, starts_at=self.asked.get("starts_at"), offered=self.form.offered)

    @cached_property
    def gear_sets(self) -> list[Alternative]:
        return gear_sets(self.asked.get("units", ()), self.form.offered)

    @cached_property
    def price(self) -> WantedPrice | None:
        """By the session's own rate card, or the one that was agreed for whom it is for."""
        if not self.period or not self.asked.get("rooms"):
            return None
        return wanted_price(
            self.asked.get("project"),
            client=self.client,
            session=self.session,
            starts_at=self.period[0],
            ends_at=self.period[1],
            rooms=self.asked["rooms"],
            people=self.asked.get("people", ()),
            units=self.asked.get("units", ()),
            padding={each: self._padding_of(each) for each in self.chosen},
            lockout=bool(self.asked.get("lockout")),
        )

    @property
    def may_queue(self) -> bool:
        """Whether a hold behind whoever has the time is another way."""
        return bool(self.clashes) and not self.queues and "queue_behind" in self.form.fields

    @cached_property
    def states(self) -> dict[str, dict[str, tuple[str, str]]]:
        """Of each field, what is not free then: "taken", "closed" or "off", and by whom or when."""
        said: dict[Model, tuple[str, str]] = {}
        for each in self.outside:
            word = "closed" if isinstance(each.resource, Room) else "off"
            said.setdefault(each.resource, (word, each.hours))
        said |= {each: ("taken", _by(clashes[0])) for each, clashes in self.taken.items()}
        states: dict[str, dict] = {name: {} for name in CHOSEN}
        for resource, state in said.items():
            states[FIELDS[KINDS[type(resource)]]][str(resource.pk)] = state
        return states

    @property
    def states_as_json(self) -> str:
        return json.dumps(self.states)

    @property
    def is_timed(self) -> bool:
        return self.period is not None

    @property
    def said(self) -> str:
        """All of it in a sentence, which a screen reader is told."""
        if not self.is_timed:
            wrong = [*self.form.errors.get("starts_at", ()), *self.form.errors.get("ends_at", ())]
            asked = self.form["starts_at"].value() and self.form["ends_at"].value()
            return wrong[0] if asked and wrong else WHEN
        if not self.chosen:
            return "Choose at least one room."
        if self.clashes:
            count = len({clash.resource for clash in self.clashes})
            return f"{count} of {len(self.chosen)} {'is' if count == 1 else 'are'} taken then."
        if self.outside_chosen:
            return "Free, but outside its hours."
        if self.missing:
            return f"Free, but still missing: {', '.join(map(str, self.missing))}."
        return "All of it is free then."


def live_of(form: SessionForm, session: RecordingSession | None = None) -> Live:
    """Of a form that was sent, as far as what was typed can be read."""
    form.errors  # noqa: B018, which reads it
    return Live(form, session, dict(form.cleaned_data))


def _by(clash: Clash) -> str:
    if isinstance(clash.by, SessionInTheWay):
        return f"“{clash.by.title}”, {standing_in_words(clash.by.status, clash.rank)}"
    return f"“{clash.by.title}”, {BlockKind(clash.by.kind).label.lower()}"
