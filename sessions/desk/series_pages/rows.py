"""The rest of a series as its page shows it: a row for each date."""

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass

from django.utils import timezone

from sessions.bookings.models import RecordingSession, Status
from sessions.bookings.series.rest.changes import Change, Verb
from sessions.bookings.series.rest.dates import RestDate, dates_of_rest
from sessions.money.session_costs import charges_of_cancelling
from sessions.terms.cancellation import Charge
from sessions.terms.currencies import figures

FREE = "Free: it is not confirmed."
NO_TERMS = "No cancellation terms are chosen: agree the charge with the client."


@dataclass(frozen=True)
class Row:
    """One session of the rest; `date` is None where the change is nothing for it. `cancelling` is
    what that costs now, `charge` the same in words."""

    session: RecordingSession
    date: RestDate | None
    ticked: bool
    cancelling: Charge | None = None
    charge: str = ""


def rows_of(
    sessions: list[RecordingSession], change: Change, ticked: Collection[int] | None
) -> list[Row]:
    """`ticked` are keys of sessions; None at first, when every date is that can be."""
    keys = {each.pk for each in sessions} if ticked is None else ticked
    dates = {each.session: each for each in dates_of_rest(sessions, change, chosen=keys)}
    charges = {}
    if change.verb == Verb.CANCEL:
        confirmed = [each for each in sessions if each.status == Status.CONFIRMED]
        charges = charges_of_cancelling(confirmed, timezone.now())
    return [
        Row(
            each,
            date := dates.get(each),
            ticked=bool(date and date.period and each.pk in keys),
            cancelling=charges.get(each.pk),
            charge=_in_words(each, charges.get(each.pk)),
        )
        for each in sessions
    ]


def charges_together(rows: list[Row]) -> list[str]:
    """The known charges of the ticked rows, a sum for each currency: "240.00 GBP"."""
    sums = Counter()
    for row in rows:
        if row.ticked and row.cancelling and row.cancelling.amount:
            sums[row.cancelling.currency] += row.cancelling.amount
    return [f"{figures(amount, currency)} {currency}" for currency, amount in sums.items()]


def _in_words(session: RecordingSession, charge: Charge | None) -> str:
    if session.status != Status.CONFIRMED:
        return FREE
    return str(charge) if charge else NO_TERMS
