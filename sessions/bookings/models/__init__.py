from sessions.bookings.models.blocks import Block, BlockKind
from sessions.bookings.models.challenges import WON, Challenge, ChallengeOutcome
from sessions.bookings.models.credits import PERFORMERS, Credit, CreditedOn, CreditRole
from sessions.bookings.models.gear_sets import GearSet
from sessions.bookings.models.musicians import Attendance, AttendanceBreak, Release
from sessions.bookings.models.reservations import Reservation
from sessions.bookings.models.sessions import (
    FIRST_STATUSES,
    ORDINALS,
    TAKES_NOTHING,
    RecordingSession,
    Series,
    Status,
    StatusStep,
    standing_in_words,
)
from sessions.bookings.models.told import Told
from sessions.bookings.models.worked_hours import WorkedHours
