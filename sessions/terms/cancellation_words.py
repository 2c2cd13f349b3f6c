"""Terms of cancellation, and the steps in them, in words."""

from decimal import Decimal

from sessions.terms.currencies import plain
from sessions.terms.models import CancellationStep, CancellationTerms, NoticeUnit

EXACTLY = (
    "Notice of exactly the stated length counts as in time. Hours and times the booked "
    "length are elapsed time; days, business days and months run to the same time of day "
    "on the studio’s clock. Business days are Monday to Friday except the studio’s "
    "holidays. After the start, notice is zero."
)

SINGULAR = {
    NoticeUnit.HOURS: "hour",
    NoticeUnit.DAYS: "day",
    NoticeUnit.BUSINESS_DAYS: "business day",
    NoticeUnit.MONTHS: "calendar month",
    NoticeUnit.BOOKED_LENGTH: "booked length",
}


def amount_in_words(number: Decimal, unit: str) -> str:
    """ "48 hours", "1 business day", "1 booked length"."""
    number = Decimal(number)
    return f"{plain(number)} {SINGULAR[NoticeUnit(unit)]}{'' if number == 1 else 's'}"


def step_in_words(step: CancellationStep) -> str:
    """ "14 days' notice or more", "at least 48 hours and less than 8 days", "less than 24 hours"."""
    at_least = amount_in_words(step.notice_from, step.notice_unit) if step.notice_from else ""
    below = ""
    if step.notice_below is not None:
        below = amount_in_words(step.notice_below, step.notice_unit)
    return notice_in_words(at_least, below)


def step_charge_in_words(step: CancellationStep) -> str:
    """ "nothing", "50 % of the deposit"."""
    if not step.percent:
        return "nothing"
    return f"{plain(step.percent)} % {step.get_charge_of_display().lower()}"


def terms_in_words(terms: CancellationTerms) -> list[str]:
    """What the terms say besides their steps."""
    said = [f"Notice is counted to the {terms.get_counted_from_display().lower()}. {EXACTLY}"]
    if terms.moving_is_free:
        said.append("Moving the session to another time costs nothing.")
    if terms.grace_minutes:
        said.append(
            f"Coming up to {terms.grace_minutes} minutes late costs nothing; later than "
            "that, time counts from the booked start."
        )
    else:
        said.append("There is no grace: time counts from the booked start.")
    if terms.files_after_payment:
        said.append("Files are delivered only after full payment.")
    return said


def notice_in_words(at_least: str, below: str) -> str:
    if not at_least:
        return f"less than {below}" if below else "any notice"
    return f"at least {at_least} and less than {below}" if below else f"{at_least} or more"
