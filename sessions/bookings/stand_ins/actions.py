"""Put another room, person or unit in the place of one that a session cannot have."""

from collections.abc import Mapping

from django.db.models import Model

from gear.acting import action
from gear.equipment.models import Unit
from sessions.bookings.actions.arranging import arrange
from sessions.bookings.actions.checks import check_bookable, check_rooms
from sessions.bookings.clashes import BookingRefused
from sessions.bookings.models import RecordingSession, Reservation, Status
from sessions.bookings.races import locked
from sessions.bookings.stand_ins.fitting import padding_of, supplies_with
from sessions.bookings.stand_ins.giving_up import count_a_change
from sessions.bookings.telling import telling_once
from sessions.clients.models import Person

SOLVED = "Somebody has changed what this session takes meanwhile. Open it again."


@action
@telling_once
def use_stand_ins(chosen: Mapping[int, Model | None], *, by) -> list[RecordingSession]:
    """By the key of a reservation, what takes its place; None does without. All of them, or none.

    A supply that belongs with a unit comes and goes with it, and a person who has not begun hands
    the credits of that session on. Returns the sessions. Raises ClashError where a stand-in is
    taken, OutsideHoursError where it is closed or off work, and BookingRefused for what cannot be
    booked and for a reservation that is no longer there.
    """
    wanted = Reservation.objects.filter(pk__in=chosen).values_list("pk", "session")
    keys = dict(wanted)
    if len(keys) < len(chosen):
        raise BookingRefused(SOLVED)
    sessions = RecordingSession.objects.filter(pk__in=set(keys.values())).order_by("pk")
    sessions = list(sessions.select_for_update(of=("self",), no_key=True))
    for session in sessions:
        of_session = {key: new for key, new in chosen.items() if keys[key] == session.pk}
        _put(session, of_session, by=by)
    return sessions


def _put(session: RecordingSession, chosen: Mapping[int, Model | None], *, by) -> None:
    before = {each.resource: each for each in session.reservations.for_list()}
    places = {each.pk: each for each in before.values()}
    if not session.takes_time or not chosen.keys() <= places.keys():
        raise BookingRefused(SOLVED)
    wanted, padding = dict.fromkeys(before), {}
    for key, new in chosen.items():
        old = places[key]
        for each in (old.resource, *supplies_with(old.resource, others=wanted)):
            wanted.pop(each, None)
        if new is not None:
            supply = new.supply if isinstance(new, Unit) else None
            padding |= {each: padding_of(old, each) for each in filter(None, (new, supply))}
    wanted |= dict.fromkeys(padding)
    resources = [each for each in locked(before.keys() | wanted.keys()) if each in wanted]
    check_rooms(resources)
    check_bookable([each for each in resources if each not in before])
    count_a_change(session)
    arrange(
        session,
        resources,
        before=before,
        padding={each: minutes for each, minutes in padding.items() if each not in before},
        queue_behind=False,
        all_the_same=False,
        by=by,
    )
    for key, new in chosen.items():
        if isinstance(person := places[key].resource, Person):
            _hand_on_credits(session, person, new)


def _hand_on_credits(session: RecordingSession, person: Person, new: Person | None) -> None:
    """A credit says who did what: of a session that has not begun, whoever comes. Of one under way
    the first keeps theirs, and the other gets the same."""
    for credit in session.credits.filter(person=person):
        if new is not None:
            session.credits.get_or_create(
                person=new, role=credit.role, instrument=credit.instrument
            )
        if session.status != Status.UNDER_WAY:
            credit.delete()
