"""What a session's page is for at the moment: what is missing before it begins, where to write
while it is under way, what is left to close when it is over."""

from dataclasses import dataclass

from django.utils import timezone

from sessions.bookings.models import RecordingSession, Status, WorkedHours
from sessions.bookings.stand_ins.needs import open_needs, why
from sessions.money.models import PaperKind
from sessions.periods import moment_in_words


@dataclass(frozen=True)
class NextStep:
    """A page of the session; `needs` is a further page that one must be allowed to open for it."""

    word: str
    sign: str
    page: str
    query: str = ""
    needs: str = ""


@dataclass(frozen=True)
class Missing:
    """A sentence, and the page with its key where that can be mended; `query` where a page has its
    key there."""

    sentence: str
    word: str
    page: str
    key: int | None
    query: str = ""


@dataclass(frozen=True)
class Moment:
    """`steps` has what comes next first."""

    word: str
    steps: list[NextStep]
    missing: list[Missing]


SETUPS = NextStep("Setups", "cable", "setups:session")
TAKES = NextStep("Takes", "list-music", "takes:session")
REPORT = NextStep("Report", "file-text", "reports:session")
CALL_SHEET = NextStep("Call sheet", "clipboard-list", "bookings:call_sheet")
CONFIRMATION = NextStep("Confirmation", "file-check", "bookings:confirmation")
HOURS = NextStep("Enter worked hours", "clock", "money:hours_create")
OVERTIME = NextStep("Overtime", "clock-plus", "overtime:approve")
SIGN_OFF = NextStep("Sign-off", "signature", "sign_off:session")
WORK_ORDER = NextStep("Work order", "receipt-text", "money:session")
MONEY = NextStep("Money", "receipt-text", "money:session")
SELDOM = [
    NextStep(
        "Call sheet without phone numbers",
        "clipboard-list",
        "bookings:call_sheet",
        query="?phones=no",
        needs="clients:people",
    ),
    NextStep("Calendar file", "calendar-plus", "bookings:session_ics"),
]


def moment_of(session: RecordingSession) -> Moment:
    """Costs up to four queries. `session` comes from `for_list()`."""
    if session.status == Status.UNDER_WAY:
        steps = [TAKES, SETUPS, OVERTIME, SIGN_OFF, REPORT, CALL_SHEET, CONFIRMATION, MONEY]
        missing = [*_to_stand_in_for(session), *_missing_now(session)]
        return Moment("Under way", [*steps, *SELDOM], missing)
    over = session.status == Status.WRAPPED or session.ends_at <= timezone.now()
    if over or session.status == Status.CANCELLED:
        steps = [HOURS, REPORT, WORK_ORDER, SIGN_OFF, TAKES, SETUPS, CALL_SHEET, CONFIRMATION]
        if session.status == Status.CANCELLED:
            steps = [MONEY, REPORT, CONFIRMATION, TAKES, SETUPS]
        missing = _missing_after(session) if session.status == Status.WRAPPED else []
        return Moment("Over" if over else "Cancelled", [*steps, *SELDOM], missing)
    steps = [SETUPS, CALL_SHEET, CONFIRMATION, TAKES, REPORT, MONEY]
    missing = [*_to_stand_in_for(session), *_missing_before(session)]
    return Moment("Before it begins", [*steps, *SELDOM], missing)


def _to_stand_in_for(session: RecordingSession) -> list[Missing]:
    query = f"?session={session.pk}"
    return [
        Missing(f"{why(need)}.", "Find a stand-in", "stand_ins:open", None, query)
        for need in open_needs([session])
    ]


def _missing_before(session: RecordingSession) -> list[Missing]:
    reserved = session.reservations.all()
    missing = [
        Missing(f"No {word} is reserved.", "Edit the session", "bookings:edit", session.pk)
        for word, kind in (("room", "room_id"), ("engineer", "person_id"))
        if not any(getattr(each, kind) for each in reserved)
    ]
    if session.rate_card_id is None:
        missing += [Missing("No rate card is chosen.", "Choose", "money:choose", session.pk)]
    if session.lockout and not _is_planned(session):
        sentence = "No hours are planned within the lockout."
        missing += [Missing(sentence, "Plan hours", "bookings:hours", session.pk)]
    if not session.project.songs.exists():
        missing += [
            Missing("The project has no song.", "New song", "songs:create", session.project_id)
        ]
    if not session.setups.exists():
        missing += [
            Missing("No setup is prepared.", "New setup", "setups:setup_create", session.pk)
        ]
    return missing


def _is_planned(session: RecordingSession) -> bool:
    return session.worked_hours.filter(kind=WorkedHours.Kind.PLANNED).exists()


def _missing_now(session: RecordingSession) -> list[Missing]:
    """Overtime lengthens the booking, so what is over was agreed to no longer."""
    if timezone.now() < session.ends_at:
        return []
    over = f"The agreed time was over {moment_in_words(session.ends_at)}."
    return [Missing(over, OVERTIME.word, OVERTIME.page, session.pk)]


def _missing_after(session: RecordingSession) -> list[Missing]:
    missing = []
    if not session.worked_hours.filter(kind=WorkedHours.Kind.ACTUAL).exists():
        missing += [Missing("No worked hours are entered.", HOURS.word, HOURS.page, session.pk)]
    if not session.money_papers.filter(kind=PaperKind.WORK_ORDER).exists():
        missing += [Missing("No work order is issued.", "Sign-off", SIGN_OFF.page, session.pk)]
    elif not session.money_papers.filter(signed__isnull=False).exists():
        missing += [Missing("No work order is signed.", "Sign-off", SIGN_OFF.page, session.pk)]
    return missing
