"""What the client signed at a session: overtime and work order, without prices."""

from collections.abc import Iterator
from dataclasses import dataclass

from sessions.bookings.models import RecordingSession
from sessions.money.models import PaperKind
from sessions.signing.models import Signature


@dataclass(frozen=True)
class SignedOff:
    """`why_void` is empty while it stands."""

    words: str
    signature: Signature
    why_void: str


def signed_off(session: RecordingSession) -> tuple[SignedOff, ...]:
    """Two queries."""
    return (*_overtime(session), *_work_orders(session))


def _overtime(session: RecordingSession) -> Iterator[SignedOff]:
    for each in session.overtime.for_list():
        yield SignedOff(f"Overtime {each}", each.signature, each.void_reason)


def _work_orders(session: RecordingSession) -> Iterator[SignedOff]:
    orders = list(
        session.money_papers.filter(kind=PaperKind.WORK_ORDER)
        .select_related("signed__signature")
        .order_by("number")
    )
    for order in orders:
        if hasattr(order, "signed"):
            why = f"{orders[-1]} was issued in its place" if order != orders[-1] else ""
            yield SignedOff(str(order), order.signed.signature, why)
