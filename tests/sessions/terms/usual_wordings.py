"""Cancellation terms in eight shapes that are usual among studios, as data: common practice, no source."""

from decimal import Decimal

from sessions.terms.models import (
    AppliesTo,
    CancellationStep,
    CancellationTerms,
    ChargeOf,
    CountedFrom,
    NoticeUnit,
)

ALL, HOURLY, DAY, DAYS, SAME_DAY = AppliesTo
HOURS, IN_DAYS, BUSINESS_DAYS, MONTHS, LENGTHS = NoticeUnit
NO_NOTICE = Decimal("0.01")  # less than this, 36 seconds: none at all


def step(at_least, below, percent, *, unit=HOURS, kind=ALL, of=ChargeOf.FEE) -> CancellationStep:
    return CancellationStep(
        applies_to=kind,
        notice_unit=unit,
        notice_from=Decimal(at_least),
        notice_below=None if below is None else Decimal(below),
        percent=Decimal(percent),
        charge_of=of,
    )


# A: a short booking 12 h, booked on its own day as long as it is, one day 48 h, several days ten
# business days; otherwise half; no notice, all; moving is free.
A = (
    CancellationTerms(name="A", moving_is_free=True),
    [
        step(12, None, 0, kind=HOURLY),
        step(NO_NOTICE, 12, 50, kind=HOURLY),
        step(0, NO_NOTICE, 100, kind=HOURLY),
        step(1, None, 0, unit=LENGTHS, kind=SAME_DAY),
        step(NO_NOTICE, 1, 50, unit=LENGTHS, kind=SAME_DAY),
        step(0, NO_NOTICE, 100, unit=LENGTHS, kind=SAME_DAY),
        step(48, None, 0, kind=DAY),
        step(NO_NOTICE, 48, 50, kind=DAY),
        step(0, NO_NOTICE, 100, kind=DAY),
        step(10, None, 0, unit=BUSINESS_DAYS, kind=DAYS),
        step(1, 10, 50, unit=BUSINESS_DAYS, kind=DAYS),
        step(0, 1, 100, unit=BUSINESS_DAYS, kind=DAYS),
    ],
)
# B: 14 days before, all is refunded; within 7 days half is charged; within 48 hours all.
B = (
    CancellationTerms(name="B", counted_from=CountedFrom.BOOKED_DAY),
    [step(14, None, 0, unit=IN_DAYS), step(2, 8, 50, unit=IN_DAYS), step(0, 2, 100, unit=IN_DAYS)],
)
# C: by the hour 48 h; over several days a week; between those half the deposit; below, all of it.
C = (
    CancellationTerms(name="C"),
    [
        step(48, None, 0, kind=HOURLY),
        step(0, 48, 100, kind=HOURLY, of=ChargeOf.DEPOSIT),
        step(168, None, 0, kind=DAYS),
        step(48, 168, 50, kind=DAYS, of=ChargeOf.DEPOSIT),
        step(0, 48, 100, kind=DAYS, of=ChargeOf.DEPOSIT),
    ],
)
# D: 24 hours' notice; what less costs it does not say.
D = (CancellationTerms(name="D"), [step(24, None, 0)])
# E: 24 hours' notice; the clock runs from the booked time.
E = (CancellationTerms(name="E", grace_minutes=0), [step(24, None, 0)])
# F: free for three calendar months; later the deposit; in the last week all, the engineer included.
# A step has one unit, so the time between is said by two that overlap and agree.
F = (
    CancellationTerms(name="F"),
    [
        step(3, None, 0, unit=MONTHS),
        step(1, 3, 100, unit=MONTHS, of=ChargeOf.DEPOSIT),
        step(7, 31, 100, unit=IN_DAYS, of=ChargeOf.DEPOSIT),
        step(0, 7, 100, unit=IN_DAYS),
    ],
)
# G: a quarter of an hour of grace. H: files are released only after full payment.
G = (CancellationTerms(name="G", grace_minutes=15), [])
H = (CancellationTerms(name="H", files_after_payment=True), [])
