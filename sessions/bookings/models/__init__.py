from sessions.bookings.models.challenges import Challenge, ChallengeOutcome
from sessions.bookings.models.credits import Credit, CreditRole
from sessions.bookings.models.letters import SentSummary
from sessions.bookings.models.reservations import KINDS, Reservation, by_kind
from sessions.bookings.models.rooms import Room
from sessions.bookings.models.sessions import (
    ORDINALS,
    TAKES_NOTHING,
    RecordingSession,
    Series,
    Status,
    StatusStep,
    standing_in_words,
)
from sessions.bookings.models.worked_hours import WorkedHours

__all__ = [
    "ORDINALS",
    "Challenge",
    "ChallengeOutcome",
    "Credit",
    "CreditRole",
    "KINDS",
    "RecordingSession",
    "Reservation",
    "Room",
    "SentSummary",
    "Series",
    "Status",
    "StatusStep",
    "TAKES_NOTHING",
    "WorkedHours",
    "by_kind",
    "standing_in_words",
]
