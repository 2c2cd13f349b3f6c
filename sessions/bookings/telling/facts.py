"""What a session is to one reader, as plain values: kept with the letter that told them, and compared
with how it stands later. No reason why somebody or something is not of it is ever among them."""

from collections import Counter
from collections.abc import Iterable
from datetime import UTC, datetime
from enum import StrEnum

from django.db.models import Prefetch

from sessions.bookings.calls import first_call
from sessions.bookings.models import (
    Challenge,
    ChallengeOutcome,
    Credit,
    RecordingSession,
    Reservation,
    Status,
    WorkedHours,
)
from sessions.bookings.sequence import changes_of
from sessions.clients.models import Person


class ReadsAs(StrEnum):
    """Who a reader is to a session. Whoever is several of these is written to as the first; `decides`
    among the facts of somebody reserved says whether they are the client or a manager besides."""

    PERSON = "person"  # reserved for it
    CLIENT = "client"
    PLAYER = "player"  # credited, and so expected, but not reserved
    MANAGER = "manager"


DECIDE = {ReadsAs.CLIENT, ReadsAs.MANAGER}  # whether a hold is confirmed or released
Facts = dict[str, object]
HELD, CONFIRMED = "held", "confirmed"
DECIDES = "decides"
STANDINGS = {
    Status.HELD: HELD,
    Status.CONFIRMED: CONFIRMED,
    Status.UNDER_WAY: CONFIRMED,
    Status.WRAPPED: CONFIRMED,
}


def with_all_that_is_told(keys: Iterable[int]) -> list[RecordingSession]:
    """The sessions with all that `facts_for` and their events read (`sequence`), by when they begin. A
    constant number of queries."""
    challenges = Challenge.objects.for_list().order_by("pk")
    planned = WorkedHours.objects.filter(kind=WorkedHours.Kind.PLANNED)
    return list(
        RecordingSession.objects.filter(pk__in=keys)
        .annotate(sequence=changes_of("pk"))
        .select_related("project__client")
        .prefetch_related(
            Prefetch("reservations", Reservation.objects.for_list()),
            Prefetch("credits", Credit.objects.select_related("person")),
            "attendances",
            Prefetch("worked_hours", planned, to_attr="planned_hours"),
            Prefetch("challenges", challenges),
            Prefetch("challenges_made", challenges),
        )
        .order_by("starts_at", "pk")
    )


def facts_for(
    session: RecordingSession, reads_as: ReadsAs, person: Person | None = None
) -> Facts | None:
    """What is theirs to know; None where there is nothing to come to or to wait for: an enquiry, or
    what was released or cancelled. What cannot be had is not of it, whatever the reason."""
    if session.status not in STANDINGS:
        return None
    reserved = [each for each in session.reservations.all() if not each.missing]
    facts = {
        "reads_as": str(reads_as),
        "standing": STANDINGS[session.status],
        "title": session.title,
        "project": f"{session.project.name}, {session.project.artist}",
        "starts": _written(session.starts_at),
        "ends": _written(session.ends_at),
        "rooms": [each.room.name for each in reserved if each.room_id],
    }
    if reads_as != ReadsAs.CLIENT:
        facts["client"] = str(session.project.client)
    if reads_as != ReadsAs.PLAYER:
        facts["people"] = [str(each.person) for each in reserved if each.person_id]
        facts["hours"] = [
            [_written(h.starts_at), _written(h.ends_at)] for h in session.planned_hours
        ]
    return facts | _OF_READER[reads_as](session, reserved, person)


def with_what_they_decide(facts: Facts, also: Facts) -> Facts:
    """The facts of somebody reserved who is the client or a manager, too, as which they have to
    answer for a hold: what is asked of either is asked of them."""
    asked = {name: also[name] for name in ("rank", "asked", "asks") if name in also}
    return facts | asked | {DECIDES: also["reads_as"]}


def _of_client(session: RecordingSession, reserved: list[Reservation], person) -> Facts:
    """Gear by model, as on the confirmation; rooms from load-in to teardown."""
    models = Counter(str(each.unit.model) for each in reserved if each.unit_id)
    rooms = [each for each in reserved if each.room_id]
    return {
        "gear": [_counted(name, count) for name, count in sorted(models.items())],
        "from": _written(min((each.starts_at for each in rooms), default=session.starts_at)),
        "until": _written(max((each.ends_at for each in rooms), default=session.ends_at)),
        **_in_line(session, reserved),
    }


def _of_person(session: RecordingSession, reserved: list[Reservation], person: Person) -> Facts:
    own = next(each for each in reserved if each.person_id == person.pk)
    return {
        "gear": _units(reserved),
        "from": _written(own.starts_at),
        "until": _written(own.ends_at),
        **_call(session, person),
    }


def _of_player(session: RecordingSession, reserved: list[Reservation], person: Person) -> Facts:
    credits = (each for each in session.credits.all() if each.person_id == person.pk)
    return {"part": _parts(credits), **_call(session, person)}


def _call(session: RecordingSession, person: Person) -> Facts:
    """When they are wanted first, where that was planned for them."""
    called_at = first_call(
        each for each in session.attendances.all() if each.person_id == person.pk
    )
    return {"call": _written(called_at)} if called_at else {}


def _of_manager(session: RecordingSession, reserved: list[Reservation], person) -> Facts:
    players = {each.person_id: each.person for each in session.credits.all()}
    return {
        "gear": _units(reserved),
        "credited": [str(player) for player in players.values()],
        **_in_line(session, reserved, with_names=True),
    }


_OF_READER = {
    ReadsAs.CLIENT: _of_client,
    ReadsAs.PERSON: _of_person,
    ReadsAs.PLAYER: _of_player,
    ReadsAs.MANAGER: _of_manager,
}


def _in_line(
    session: RecordingSession, reserved: list[Reservation], *, with_names: bool = False
) -> Facts:
    """The place of a hold, what it has to answer, and what the newest challenge that it made has come
    to. Only the house is told the other side's name: one client's plans are none of another's
    business."""
    if session.status != Status.HELD:
        return {}
    facts = {"rank": max((each.rank or 1 for each in reserved), default=1)}
    asked = [each for each in session.challenges.all() if each.outcome == ChallengeOutcome.OPEN]
    asks = list(session.challenges_made.all())
    if asked:
        facts["asked"] = _challenge(asked[-1], asked[-1].challenger if with_names else None)
    if asks and asks[-1].made_at >= session.status_since:
        facts["asks"] = _challenge(asks[-1], asks[-1].hold if with_names else None)
    return facts


def _challenge(challenge: Challenge, other: RecordingSession | None) -> Facts:
    facts = {
        "number": challenge.pk,
        "outcome": str(challenge.outcome),
        "deadline": _written(challenge.deadline),
    }
    if other:
        facts["other"] = f"{other}, {other.project} ({other.project.client})"
    return facts


def _units(reserved: list[Reservation]) -> list[str]:
    return [str(each.unit) for each in reserved if each.unit_id]


def _parts(credits: Iterable[Credit]) -> list[str]:
    words = ([each.get_role_display().lower(), each.instrument] for each in credits)
    return [", ".join(filter(None, each)) for each in words]


def _counted(name: str, count: int) -> str:
    return f"{count} × {name}" if count > 1 else name


def _written(moment: datetime) -> str:
    """In UTC, so that the same instant is written the same."""
    return moment.astimezone(UTC).isoformat()
