"""Book, change, move on."""

from sessions.bookings.actions.arranging import reservation_of, reserve
from sessions.bookings.actions.booking import (
    book_session,
    change_session,
    move_session,
    reserve_units,
    set_padding,
)
from sessions.bookings.actions.checks import LONGEST, check_not_over, check_period
from sessions.bookings.actions.credits import change_credit, give_credit, remove_credit
from sessions.bookings.actions.steps import STEPS, give_up_unanswered, may_step, set_status
