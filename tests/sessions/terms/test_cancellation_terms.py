"""Self-checks: cancellation terms in eight usual wordings (`usual_wordings.py`): what each costs, and when.

Where a wording leaves a case open it is flagged here, too, and no charge is made up.
"""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from sessions.terms.cancellation import NOTHING_SAID, Booked, charge, kinds_left_out, spans
from sessions.terms.cancellation_words import terms_in_words
from sessions.terms.models import AppliesTo, CancellationTerms, NoticeUnit
from sessions.terms.pricing import counted_from_booked_start
from tests.sessions.terms.usual_wordings import A, B, C, D, E, F, G, H, step

LONDON = ZoneInfo("Europe/London")
SECOND = timedelta(seconds=1)
FEE, DEPOSIT = Decimal("1000.00"), Decimal("500.00")


def local(year, month, day, hour=10, minute=0) -> datetime:
    return datetime(year, month, day, hour, minute, tzinfo=LONDON).astimezone(UTC)


START = local(2026, 7, 15)  # a Wednesday


def booked(hours=4, *, starts_at=START, booked_at=None, holidays=(), **changes) -> Booked:
    return Booked(
        starts_at=starts_at,
        ends_at=starts_at + timedelta(hours=hours),
        booked_at=booked_at or starts_at - timedelta(days=400),
        currency="GBP",
        fee=FEE,
        deposit=DEPOSIT,
        holidays=frozenset(holidays),
        **changes,
    )


def costs(terms, session, moment) -> Decimal | None:
    return charge(*terms, session, moment).amount


@pytest.mark.parametrize(
    ("hours", "deadline"),
    [(4, timedelta(hours=12)), (10, timedelta(hours=48))],
    ids=["short", "day"],
)
def test_a_notice_of_exactly_so_many_hours_is_in_time(hours, deadline):
    session = booked(hours)

    assert costs(A, session, START - deadline - SECOND) == 0
    assert costs(A, session, START - deadline) == 0
    assert costs(A, session, START - deadline + SECOND) == 500


@pytest.mark.parametrize("hours", [4, 10, 58])
def test_a_no_notice_costs_all(hours):
    session = booked(hours)

    assert costs(A, session, START) == 1000
    assert costs(A, session, START + timedelta(hours=1)) == 1000


def test_a_hour_before_is_some_notice():
    assert costs(A, booked(4), START - timedelta(hours=1)) == 500


def test_a_same_day_booking_takes_its_own_length_as_notice():
    session = booked(3, booked_at=local(2026, 7, 15, 1))
    deadline = START - timedelta(hours=3)

    assert costs(A, session, deadline) == 0
    assert costs(A, session, deadline + SECOND) == 500
    assert costs(A, session, START) == 1000


def test_a_booking_of_the_day_before_is_no_same_day_booking():
    session = booked(3, booked_at=local(2026, 7, 14, 23, 59))

    assert costs(A, session, START - timedelta(hours=3)) == 500


def test_a_ten_business_days_run_over_weekends():
    """Monday to Friday counted back from Wednesday 15 July 2026: Wednesday 1 July."""
    session, deadline = booked(58), local(2026, 7, 1)

    assert costs(A, session, deadline) == 0
    assert costs(A, session, deadline + SECOND) == 500


def test_a_holiday_is_no_business_day():
    session = booked(58, holidays=[date(2026, 7, 6)])

    assert costs(A, session, local(2026, 6, 30)) == 0
    assert costs(A, session, local(2026, 6, 30) + SECOND) == 500


def test_a_holiday_on_a_weekend_changes_nothing():
    session = booked(58, holidays=[date(2026, 7, 4)])

    assert costs(A, session, local(2026, 7, 1)) == 0


def test_a_business_day_before_a_monday_is_friday():
    monday = local(2026, 7, 13)

    assert costs(A, booked(58, starts_at=monday), local(2026, 7, 10)) == 500
    assert costs(A, booked(58, starts_at=monday), local(2026, 7, 10) + SECOND) == 1000


def test_a_moving_is_free():
    assert "Moving the session to another time costs nothing." in terms_in_words(A[0])


@pytest.mark.parametrize(
    ("days", "amount"),
    [
        (15, 0),
        (14, 0),
        (13, None),
        (10, None),
        (8, None),
        (7, 500),
        (3, 500),
        (2, 500),
        (1, 1000),
        (0, 1000),
    ],
)
def test_b_counts_days_and_says_nothing_of_8_to_13(days, amount):
    """Notice in days to the start of the session's day, each at its last moment."""
    session, moment = booked(58), local(2026, 7, 15, 0) - timedelta(days=days)

    found = charge(*B, session, moment)

    assert found.amount == amount
    assert (found.remark == NOTHING_SAID) == (amount is None)


def test_b_gap_has_its_edges():
    session = booked(58)
    midnight = local(2026, 7, 15, 0)

    assert costs(B, session, midnight - timedelta(days=14)) == 0
    assert costs(B, session, midnight - timedelta(days=14) + SECOND) is None
    assert costs(B, session, midnight - timedelta(days=8)) is None
    assert costs(B, session, midnight - timedelta(days=8) + SECOND) == 500
    assert costs(B, session, midnight - timedelta(days=2)) == 500
    assert costs(B, session, midnight - timedelta(days=2) + SECOND) == 1000


def test_b_tells_the_gap_in_words():
    [gap] = [span for span in spans(*B, booked(58)) if span.is_gap]

    assert gap.words == "at least 8 days and less than 14 days"
    assert gap.period_in_words == "after Wed 1 Jul 2026, 00:00, until Tue 7 Jul 2026, 00:00"


def test_c_by_the_hour():
    deadline = START - timedelta(hours=48)

    assert costs(C, booked(4), deadline) == 0
    assert costs(C, booked(4), deadline + SECOND) == 500
    assert costs(C, booked(10), deadline + SECOND) == 500  # one day: the steps within one day


def test_c_over_several_days():
    session = booked(58)

    assert costs(C, session, START - timedelta(days=7)) == 0
    assert costs(C, session, START - timedelta(days=7) + SECOND) == 250
    assert costs(C, session, START - timedelta(hours=48)) == 250
    assert costs(C, session, START - timedelta(hours=48) + SECOND) == 500


@pytest.mark.parametrize("terms", [D, E], ids=["D", "E"])
def test_d_and_e_say_nothing_below_24_hours(terms):
    deadline = START - timedelta(hours=24)

    assert costs(terms, booked(4), deadline) == 0
    assert charge(*terms, booked(4), deadline + SECOND).remark == NOTHING_SAID


def test_e_clock_runs_from_the_booked_time():
    work = [(START + timedelta(minutes=1), START + timedelta(hours=4))]

    counted = counted_from_booked_start(work, booked_start=START, grace_minutes=E[0].grace_minutes)

    assert counted[0][0] == START
    assert "There is no grace: time counts from the booked start." in terms_in_words(E[0])


def test_f_three_calendar_months_are_free():
    """The same day and hour three months before; London is on winter time on neither."""
    session, deadline = booked(58), local(2026, 4, 15)

    assert costs(F, session, deadline) == 0
    assert costs(F, session, deadline + SECOND) == 500


def test_f_keeps_the_deposit_until_the_last_week():
    session, week = booked(58), START - timedelta(days=7)

    assert costs(F, session, local(2026, 6, 15)) == 500
    assert costs(F, session, week) == 500
    assert costs(F, session, week + SECOND) == 1000
    assert costs(F, session, START) == 1000


@pytest.mark.parametrize(
    ("session_day", "last_free_day"),
    [
        ((2026, 5, 31), (2026, 2, 28)),
        ((2028, 5, 31), (2028, 2, 29)),
        ((2026, 3, 15), (2025, 12, 15)),
    ],
)
def test_f_month_that_is_too_short_ends_on_its_last_day(session_day, last_free_day):
    session, deadline = booked(58, starts_at=local(*session_day)), local(*last_free_day)

    assert costs(F, session, deadline) == 0
    assert costs(F, session, deadline + SECOND) == 500


@pytest.mark.parametrize("month", range(1, 13))
def test_f_leaves_no_gap_in_any_month(month):
    """A month has 28 to 31 days, so that the step in days reaches into the step in months."""
    found = spans(*F, booked(58, starts_at=local(2026, month, 31 if month == 1 else 28)))

    assert [(span.words, span.charge_in_words) for span in found] == [
        ("3 calendar months or more", "nothing"),
        ("at least 7 days and less than 3 calendar months", "100 % of the deposit"),
        ("less than 7 days", "100 % of the fee"),
    ]


def test_g_grace_of_a_quarter_of_an_hour():
    def paid(minutes_late):
        begins = START + timedelta(minutes=minutes_late)
        work = [(begins, START + timedelta(hours=4))]
        counted = counted_from_booked_start(work, booked_start=START, grace_minutes=15)
        return sum((ends - starts for starts, ends in counted), timedelta(0))

    assert paid(15) == timedelta(hours=3, minutes=45)
    assert paid(16) == timedelta(hours=4)
    assert "Coming up to 15 minutes late costs nothing" in " ".join(terms_in_words(G[0]))


@pytest.mark.parametrize("terms", [G, H], ids=["G", "H"])
def test_g_and_h_say_nothing_of_cancellation(terms):
    assert charge(*terms, booked(4), START - timedelta(days=99)).remark == NOTHING_SAID
    assert kinds_left_out(terms[1]) == [AppliesTo.HOURLY, AppliesTo.DAYS]


def test_h_keeps_files_until_payment():
    assert "Files are delivered only after full payment." in terms_in_words(H[0])


SHAPES = {"A": A, "B": B, "C": C, "D": D, "E": E, "F": F}


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("hours", [4, 10, 58])
def test_gaps_are_those_that_the_wording_leaves(name, hours):
    gaps = [span.words for span in spans(*SHAPES[name], booked(hours)) if span.is_gap]

    left_open = {"B": ["at least 8 days and less than 14 days"]}
    left_open |= dict.fromkeys("DE", ["less than 24 hours"])
    assert gaps == left_open.get(name, [])


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("hours", [4, 10, 58])
def test_spans_follow_each_other_without_a_break(name, hours):
    found = spans(*SHAPES[name], booked(hours))

    assert found[0].after is None
    assert [span.after for span in found[1:]] == [span.until for span in found[:-1]]
    assert not any(span.is_overlap for span in found)


def test_contradiction_is_flagged():
    terms = CancellationTerms(name="Two minds"), [step(24, None, 0), step(0, 48, 50)]

    found = charge(*terms, booked(4), START - timedelta(hours=36))

    assert found.amount is None
    assert found.remark == "The terms contradict themselves: nothing and 50 % of the fee."
    assert found.span.words == "at least 24 hours and less than 48 hours"


def test_hours_are_elapsed_and_days_are_by_the_clock():
    """Clocks in London go back on 25 October 2026 (IANA time zone database)."""
    monday = local(2026, 10, 26)
    by_hours = CancellationTerms(name="Hours"), [step(48, None, 0), step(0, 48, 50)]
    by_days = CancellationTerms(name="Days"), [step(2, None, 0, unit=NoticeUnit.DAYS)]
    session = booked(4, starts_at=monday)

    assert spans(*by_hours, session)[0].until == local(2026, 10, 24, 11)
    assert spans(*by_days, session)[0].until == local(2026, 10, 24, 10)


def test_charge_of_an_unknown_price_is_flagged():
    session = Booked(START, START + timedelta(hours=4), START - timedelta(days=99), "GBP")

    found = charge(*C, session, START)

    assert found.amount is None
    assert found.remark == "100 % of the deposit, but the session’s price is not known."


def test_half_of_an_odd_penny_goes_up():
    session = booked(4)
    odd = Booked(**{**vars(session), "fee": Decimal("333.33")})

    assert charge(*A, odd, START - timedelta(hours=1)).amount == Decimal("166.67")
