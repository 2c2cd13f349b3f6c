"""The lines of a session as its page shows them: who stands where, and whom it may challenge."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import Model, Q, QuerySet

from sessions.bookings.models import (
    WON,
    Challenge,
    ChallengeOutcome,
    RecordingSession,
    Reservation,
    Status,
)


@dataclass(frozen=True)
class Place:
    """One reservation in a line; `challenge` is the one that its hold has to answer."""

    reservation: Reservation
    is_own: bool
    challenge: Challenge | None
    may_be_challenged: bool


@dataclass(frozen=True)
class Group:
    """What is reserved with the same minutes before and after and wanted by nobody else."""

    word: str
    minutes: str
    resources: list[str]


@dataclass(frozen=True)
class Standing:
    lines: list[tuple[Reservation, list[Place]]]
    to_answer: Challenge | None  # what this session has to answer
    waiting: list[Challenge]  # what others have to answer to this session
    won: Challenge | None  # what it has to confirm at once for

    @property
    def disputed(self) -> list[tuple[Reservation, list[Place]]]:
        """The lines in which somebody else stands."""
        return [(own, line) for own, line in self.lines if not all(each.is_own for each in line)]

    @property
    def undisputed(self) -> list[Group]:
        groups = {}
        for own, line in self.lines:
            if all(each.is_own for each in line):
                named = f"{own.resource} (missing)" if own.missing else str(own.resource)
                groups.setdefault((_word_of(own), _minutes_of(own)), []).append(named)
        return [Group(*key, resources) for key, resources in groups.items()]


def standing_of(
    session: RecordingSession, lines: Mapping[Model, list[Reservation]], *, among: QuerySet
) -> Standing:
    """The places in `lines` (as `line_of` gives them) with this session's own, in order of rank.

    Only challenges between sessions in `among`. One query, if the reservations are loaded.
    """
    others = {each.session_id for line in lines.values() for each in line if each.session_id}
    challenges = Challenge.objects.among(among).filter(
        Q(outcome=ChallengeOutcome.OPEN, hold__in={session.pk, *others})
        | Q(outcome__in=WON, challenger=session)
    )
    open_of = {}
    won = None
    for challenge in challenges.for_list().order_by("closed_at"):
        if challenge.outcome == ChallengeOutcome.OPEN:
            open_of[challenge.hold_id] = challenge
        elif session.status == Status.HELD and challenge.closed_at >= session.status_since:
            won = challenge
    return Standing(
        [
            (own, _places(session, own, lines.get(own.resource, []), open_of))
            for own in session.reservations.all()
        ],
        open_of.get(session.pk),
        [each for each in open_of.values() if each.challenger_id == session.pk],
        won if _is_first(session) else None,
    )


def _word_of(reservation: Reservation) -> str:
    return "Rooms" if reservation.room_id else "People" if reservation.person_id else "Gear"


def _minutes_of(reservation: Reservation) -> str:
    minutes = {"before": reservation.before_minutes, "after": reservation.after_minutes}
    return ", ".join(f"{length} min {word}" for word, length in minutes.items() if length)


def _is_first(session: RecordingSession) -> bool:
    return all(each.rank == 1 for each in session.reservations.all())


def _places(
    session: RecordingSession,
    own: Reservation,
    others: list[Reservation],
    open_of: Mapping[int, Challenge],
) -> list[Place]:
    """Whoever takes no time stands in no line, but sees who does."""
    standing = sorted([*others, *([own] if own.rank else [])], key=lambda each: each.rank)
    return [
        Place(
            each,
            is_own=each == own,
            challenge=open_of.get(each.session_id),
            may_be_challenged=each != own and _may_challenge(session, own, each, open_of),
        )
        for each in standing
    ]


def _may_challenge(
    session: RecordingSession,
    own: Reservation,
    other: Reservation,
    open_of: Mapping[int, Challenge],
) -> bool:
    return (
        session.status == Status.HELD
        and (own.rank or 1) > 1
        and other.rank == 1
        and other.session is not None
        and other.session.status == Status.HELD
        and other.session_id not in open_of
    )
