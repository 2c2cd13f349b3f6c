"""Random changes of bookings, by the same actions that pages call. A refused one changes nothing."""

import random
from collections.abc import Callable
from datetime import timedelta

from django.core.exceptions import ValidationError

from sessions.bookings.actions import (
    STEPS,
    book_session,
    change_session,
    give_credit,
    remove_credit,
    set_padding,
    set_status,
)
from sessions.bookings.blocks.actions import make_block, remove_block
from sessions.bookings.challenges.actions import challenge_hold, lapse_due, withdraw_challenge
from sessions.bookings.holds.answers import holds_before
from sessions.bookings.models import (
    Block,
    BlockKind,
    Challenge,
    Credit,
    CreditRole,
    RecordingSession,
    Reservation,
    Status,
)
from sessions.bookings.padding import Padding
from sessions.bookings.series.actions import book_series
from sessions.bookings.series.dates import dates_by_rule
from sessions.bookings.series.rest.actions import change_rest
from sessions.bookings.series.rest.changes import Change, Move, Verb, is_possible
from sessions.bookings.series.rules import Rule
from sessions.bookings.stand_ins.actions import use_stand_ins
from sessions.bookings.stand_ins.fitting import first_choices, stand_ins_for
from sessions.bookings.stand_ins.giving_up import given_up_to
from sessions.bookings.telling import telling
from sessions.rooms.resources import by_kind
from tests.measure.letters.world import REASON, World

TITLES = ("Brass", "Overdubs", "Group vocals", "Spoken verse")
STILL = {Status.UNDER_WAY, Status.WRAPPED}  # what nobody books any more
TRIES = 10


class Refused(Exception):
    """There was nothing to change."""


class Changes:
    """`make` makes one, and gives its name."""

    def __init__(self, world: World, chance: random.Random):
        self.world, self.chance = world, chance

    def make(self, by) -> str:
        """What is refused is tried as something else; "nothing" where all of it is."""
        for _ in range(TRIES):
            [kind] = self.chance.choices(list(CHANGES), CHANGES.values())
            try:
                kind(self, by)
            except (ValidationError, Refused):
                continue
            return kind.__name__.strip("_")
        return "nothing"

    # --- what there is to choose from -------------------------------------------------------------

    def _one(self, rows, *, of: Callable = lambda row: True):
        """One of the rows by their keys; Refused where there is none."""
        if not (found := [row for row in rows.order_by("pk") if of(row)]):
            raise Refused
        return self.chance.choice(found)

    def _session(self, *statuses: str) -> RecordingSession:
        rows = RecordingSession.objects.select_related("project__client")
        return self._one(rows.filter(status__in=statuses) if statuses else rows)

    def _some(self, things: list, least: int = 0) -> list:
        return self.chance.sample(things, self.chance.randint(least, len(things)))

    def _change(self, session: RecordingSession, by, **facts) -> None:
        taken = by_kind(each.resource for each in session.reservations.for_list())
        now = {
            "starts_at": session.starts_at,
            "ends_at": session.ends_at,
            "rooms": taken["room"],
            "people": taken["person"],
            "units": taken["unit"],
        }
        behind = self.chance.random() < 0.7
        change_session(session, version=session.version, queue_behind=behind, by=by, **now | facts)

    # --- the changes ------------------------------------------------------------------------------

    def _book(self, by) -> None:
        starts_at, ends_at = self.world.period(self.chance)
        book_session(
            self.chance.choice(self.world.projects),
            title=self.chance.choice(TITLES),
            starts_at=starts_at,
            ends_at=ends_at,
            status=self.chance.choice(
                [Status.ENQUIRY, Status.HELD, Status.HELD, Status.CONFIRMED, Status.CONFIRMED]
            ),
            rooms=self._some(self.world.rooms, 1),
            people=self._some(self.world.people[:3]) + self._some(self.world.people[3:]),
            units=self._some(self.world.units),
            queue_behind=True,
            by=by,
        )

    def _move(self, by) -> None:
        session = self._session()
        starts_at, _ = self.world.period(self.chance)
        self._change(session, by, starts_at=starts_at, ends_at=starts_at + session.duration)

    def _lengthen_or_shorten(self, by) -> None:
        session = self._session()
        more = self.chance.choice([-1, 1]) * timedelta(minutes=30)
        self._change(session, by, ends_at=session.ends_at + more)

    def _change_rooms(self, by) -> None:
        self._change(self._session(), by, rooms=self._some(self.world.rooms, 1))

    def _change_people(self, by) -> None:
        self._change(self._session(), by, people=self._some(self.world.people))

    def _change_gear(self, by) -> None:
        self._change(self._session(), by, units=self._some(self.world.units))

    def _rename(self, by) -> None:
        self._change(self._session(), by, title=self.chance.choice(TITLES))

    def _save_without_a_change(self, by) -> None:
        self._change(self._session(), by)

    def _change_and_undo(self, by) -> None:
        session = self._session()
        before = session.starts_at, session.ends_at
        with telling(by=by):
            self._change(session, by, ends_at=session.ends_at + timedelta(hours=1))
            session.refresh_from_db()
            self._change(session, by, starts_at=before[0], ends_at=before[1])

    def _set_padding(self, by) -> None:
        session = self._session()
        reserved = self._one(session.reservations.filter(unit=None))
        minutes = self.chance.choice([0, 15, 30])
        set_padding(
            session,
            version=session.version,
            padding={reserved.resource: Padding(minutes, 15)},
            queue_behind=True,
            by=by,
        )

    def _step(self, by) -> None:
        session = self._session()
        to = self.chance.choice([each for each in STEPS[session.status] if each not in STILL])
        set_status(session, to=to, queue_behind=True, by=by)

    def _credit(self, by) -> None:
        person = self.chance.choice([*self.world.players, *self.world.people])
        give_credit(
            self._session(), person=person, role=self.chance.choice(CreditRole.values), by=by
        )

    def _take_credit_away(self, by) -> None:
        remove_credit(self._one(Credit.objects.select_related("session")), by=by)

    def _repeat(self, by) -> None:
        session = self._session(Status.HELD, Status.CONFIRMED)
        rule = Rule.parse("FREQ=DAILY;COUNT=3")
        paddings = [each.padding for each in session.reservations.all()]
        dates = [each.key for each in dates_by_rule(session, rule, paddings)]
        book_series(session, rule=rule, chosen=dates, status=Status.HELD, queue_behind=True, by=by)

    def _change_the_rest(self, by) -> None:
        """Of a series from some date on, in one press."""
        first = self._one(RecordingSession.objects.exclude(series=None))
        verb = self.chance.choice(list(Verb))
        move = Move(days=self.chance.choice([-1, 1])) if verb == Verb.MOVE else None
        rest = first.series.sessions.filter(starts_at__gte=first.starts_at)
        chosen = {each.pk: each.version for each in rest if is_possible(verb, each)}
        change = Change(verb, move=move, queue_behind=True)
        change_rest(first.series, change=change, chosen=chosen, by=by)

    def _challenge(self, by) -> None:
        challenger = self._session(Status.HELD)
        before = holds_before(challenger, among=RecordingSession.objects.all())
        if not before:
            raise Refused
        challenge_hold(self.chance.choice(before), challenger=challenger, by=by)

    def _withdraw_challenge(self, by) -> None:
        withdraw_challenge(self._one(Challenge.objects.open()), by=by)

    def _lapse(self, by) -> None:
        """The next deadline comes, of one challenge."""
        challenge = Challenge.objects.open().order_by("deadline").first()
        if not (challenge and lapse_due(challenge.deadline)):
            raise Refused

    def _fall_ill(self, by) -> None:
        """Away for two days; what they are booked for, others do, or nobody yet."""
        person = self.chance.choice(self.world.people)
        starts_at = self.world.day + timedelta(days=self.chance.randrange(6))
        ends_at = starts_at + timedelta(days=2)
        needs = given_up_to([person], (starts_at, ends_at))
        make_block(
            kind=BlockKind.LEAVE,
            title=REASON,
            note=REASON,
            starts_at=starts_at,
            ends_at=ends_at,
            people=[person],
            over_bookings=True,
            stand_ins=self._stand_ins(needs) if self.chance.random() < 0.5 else None,
            by=by,
        )

    def _close_a_room(self, by) -> None:
        starts_at = self.world.day + timedelta(days=self.chance.randrange(6), hours=9)
        make_block(
            kind=BlockKind.MAINTENANCE,
            title="Floor sanded",
            starts_at=starts_at,
            ends_at=starts_at + timedelta(hours=6),
            rooms=[self.chance.choice(self.world.rooms)],
            over_bookings=True,
            by=by,
        )

    def _let_stand_in(self, by) -> None:
        missing = Reservation.objects.filter(missing=True, session__isnull=False)
        chosen = self._stand_ins(list(missing.for_list().with_holders().order_by("pk")))
        if not chosen:
            raise Refused
        use_stand_ins(chosen, by=by)

    def _stand_ins(self, needs: list[Reservation]) -> dict:
        return first_choices(needs, stand_ins_for(needs))

    def _remove_block(self, by) -> None:
        remove_block(self._one(Block.objects.filter(removed=False)), by=by)


# How often each, against the others
CHANGES = {
    Changes._book: 14,
    Changes._move: 8,
    Changes._lengthen_or_shorten: 6,
    Changes._change_rooms: 4,
    Changes._change_people: 8,
    Changes._change_gear: 3,
    Changes._rename: 2,
    Changes._save_without_a_change: 3,
    Changes._change_and_undo: 3,
    Changes._set_padding: 3,
    Changes._step: 16,
    Changes._credit: 4,
    Changes._take_credit_away: 3,
    Changes._repeat: 3,
    Changes._change_the_rest: 5,
    Changes._challenge: 14,
    Changes._withdraw_challenge: 4,
    Changes._lapse: 6,
    Changes._fall_ill: 3,
    Changes._close_a_room: 1,
    Changes._let_stand_in: 3,
    Changes._remove_block: 5,
}
