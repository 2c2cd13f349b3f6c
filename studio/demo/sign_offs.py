"""What clients signed: overtime of today and of the band day, and work orders."""

from datetime import datetime, timedelta
from math import sin

from sessions.bookings.models import RecordingSession
from sessions.bookings.worked_hours import change_hours
from sessions.money.models import MoneyPaper
from sessions.money.overtime.actions import approve_overtime
from sessions.money.overtime.statements import overtime_statement
from sessions.money.session_costs import SessionCosts
from sessions.money.sign_off.actions import sign_work_order
from sessions.money.sign_off.statements import order_statement
from studio.demo.days import as_of
from studio.models import User

LABELS_OWN, CHOIRS_OWN, FILMS_OWN = "Perran Ledger", "Sunniva Crouch", "Ivo Kestle"


def fill_sign_offs() -> None:
    """The last of the signed orders no longer says what is charged: its hours were put right after."""
    engineer, manager = (User.objects.get(username=name) for name in ("ulric", "odile"))
    band, quartet = (_session(title) for title in ("Band day", "Quartet overdubs"))
    _overtime(band, 1, at=band.ends_at - timedelta(minutes=15), by=engineer)
    _overtime(quartet, 1, at=quartet.starts_at + timedelta(minutes=50), by=engineer)
    _sign("Carols, with organ", CHOIRS_OWN, by=manager)
    _sign("1m1, strings", FILMS_OWN, by=manager)
    hours = _session("1m1, strings").worked_hours.get()
    facts = {"starts_at": hours.starts_at, "ends_at": hours.ends_at + timedelta(minutes=40)}
    change_hours(hours, version=hours.version, **facts, note="The last cue again", by=manager)


def _session(title: str) -> RecordingSession:
    sessions = RecordingSession.objects.for_list()
    return sessions.select_related("rate_card", "cancellation_terms").get(title=title)


def _overtime(session: RecordingSession, hours: int, *, at: datetime, by: User) -> None:
    ends_at = session.ends_at + timedelta(hours=hours)
    with as_of(at):
        approve_overtime(
            session,
            ends_at=ends_at,
            read=overtime_statement(SessionCosts(session), session.ends_at, ends_at),
            signature={"name": LABELS_OWN, "strokes": handwriting(LABELS_OWN)},
            by=by,
        )


def _sign(title: str, name: str, *, by: User) -> None:
    paper = MoneyPaper.objects.select_related("session__project__client").get(
        session__title=title, kind="work_order"
    )
    with as_of(paper.issued_at + timedelta(minutes=3)):
        signature = {"name": name, "strokes": handwriting(name)}
        sign_work_order(paper, read=order_statement(paper), signature=signature, by=by)


def handwriting(name: str) -> list[list[int]]:
    """Loops of the pen, as high as the letters of the name say, and a stroke under them."""
    line, length = [], 90 * len(name)
    for step in range(0, 91 * len(name), 6):
        height = 40 + ord(name[min(step // 90, len(name) - 1)]) % 32 * 3
        x = 90 + step * 960 / length + 34 * sin(step / 14)
        y = 230 - step * 40 / length - height * sin(step / 14 + 1.2)
        line += [round(min(1180, max(20, x))), round(min(380, max(20, y)))]
    return [line, [180, 330, 560, 318, 900, 300, 1040, 286]]
