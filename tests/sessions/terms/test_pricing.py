"""The rules of price, on cards that are not saved: no database."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sessions.terms.currencies import figures, rounded
from sessions.terms.models import Basis, RateCard
from sessions.terms.price_words import lines_in_figures, rules_in_words, sums_in_figures
from sessions.terms.pricing import (
    Hire,
    billed_minutes,
    counted_from_booked_start,
    lockout_days,
    price,
    worked_by_day,
)
from sessions.terms.taxes import TaxRow

LONDON = ZoneInfo("Europe/London")
MORNING = datetime(2026, 6, 1, 9, tzinfo=UTC)  # 10:00 on the studio's clock


def card(**changes) -> RateCard:
    """Half-hour steps, two hours at least, a day of ten hours, no overtime, 20 % tax, 50 % deposit."""
    facts = {"overtime_after_minutes": None, "tax_percent": Decimal(20)} | changes
    return RateCard(name="House", **facts)


def at(day: int, hour: int, minute: int = 0, month: int = 6) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=LONDON).astimezone(UTC)


def for_minutes(minutes: int) -> list:
    return [(MORNING, MORNING + timedelta(minutes=minutes))]


def room(**rates) -> Hire:
    return Hire("Rope Floor", {basis: Decimal(amount) for basis, amount in rates.items()})


def summary(priced) -> list[tuple]:
    return [(line.basis, line.quantity, line.rate, line.amount) for line in priced.lines]


# IANA time zone database, Europe/London 2026: clocks go forward on 29 March, back on 25 October.
@pytest.mark.parametrize(
    ("month", "day", "hours"), [(3, 28, 11), (10, 24, 13), (6, 1, 12)], ids=["on", "back", "none"]
)
def test_night_over_a_clock_change_is_billed_by_elapsed_time(month, day, hours):
    night = [(at(day, 22, month=month), at(day + 1, 10, month=month))]

    priced = price(card(), [room(hour="40")], stretches=night)

    assert summary(priced) == [("By the hour", f"{hours} h", Decimal("40.00"), Decimal(40 * hours))]


@pytest.mark.parametrize(
    ("worked", "billed"),
    [(0, 0), (1, 120), (120, 120), (121, 150), (150, 150), (151, 180), (600, 600), (601, 630)],
)
def test_begun_step_counts_and_the_minimum_is_billed(worked, billed):
    assert billed_minutes(card(), worked) == billed


def test_minimum_that_is_no_whole_step_is_billed_in_whole_steps():
    assert billed_minutes(card(minimum_minutes=100), 10) == 120


def test_begun_minute_counts():
    priced = worked_by_day([(MORNING, MORNING + timedelta(minutes=120, seconds=1))])

    assert list(priced.values()) == [121]


def test_night_belongs_to_the_day_on_which_it_began():
    worked = worked_by_day([(at(1, 22), at(2, 10)), (at(2, 14), at(2, 18))])

    assert {day.day: minutes for day, minutes in worked.items()} == {1: 720, 2: 240}


def test_stretch_of_more_than_a_day_is_cut_at_the_hour_it_began():
    """25 October 2026 has 25 hours in Europe/London."""
    worked = worked_by_day([(at(24, 12, month=10), at(26, 18, month=10))])

    assert {day.day: minutes for day, minutes in worked.items()} == {24: 1500, 25: 1440, 26: 360}


@pytest.mark.parametrize(
    ("minutes", "days", "hours"),
    [
        (540, None, ("9 h", "360.00")),
        (570, None, ("9 h 30 min", "380.00")),
        (600, ("1 day", "400.00"), None),
        (660, ("1 day", "400.00"), ("1 h", "40.00")),
        (1140, ("1 day", "400.00"), ("9 h", "360.00")),
        (1200, ("2 days", "800.00"), None),
    ],
)
def test_day_rate_from_a_days_hours_on_and_the_rest_by_the_hour(minutes, days, hours):
    priced = price(card(), [room(hour="40", day="400")], stretches=for_minutes(minutes))

    expected = []
    if days:
        expected.append(("By the day", days[0], Decimal("400.00"), Decimal(days[1])))
    if hours:
        expected.append(("By the hour", hours[0], Decimal("40.00"), Decimal(hours[1])))
    assert summary(priced) == expected


@pytest.mark.parametrize("minutes", [480, 510], ids=["just as much", "more"])
def test_hours_that_cost_as_much_as_the_day_are_a_day(minutes):
    priced = price(card(), [room(hour="50", day="400")], stretches=for_minutes(minutes))

    assert summary(priced) == [("By the day", "1 day", Decimal("400.00"), Decimal("400.00"))]


def test_begun_day_counts_without_an_hours_rate():
    priced = price(card(), [room(day="400")], stretches=for_minutes(660))

    assert summary(priced) == [("By the day", "2 days", Decimal("400.00"), Decimal("800.00"))]


def test_overtime_is_a_surcharge_on_what_exceeds_it_each_day():
    of_card = card(overtime_after_minutes=480, overtime_percent=Decimal(50))
    days = [(at(1, 10), at(1, 20)), (at(2, 10), at(2, 19)), (at(3, 10), at(3, 14))]

    priced = price(of_card, [room(hour="40")], stretches=days)

    assert summary(priced) == [
        ("By the hour", "23 h", Decimal("40.00"), Decimal("920.00")),
        ("Overtime, 50 % on top", "3 h", Decimal("40.00"), Decimal("60.00")),
    ]


def test_overtime_begins_after_exactly_so_much():
    of_card = card(overtime_after_minutes=480)

    assert len(price(of_card, [room(hour="40")], stretches=for_minutes(480)).lines) == 1
    assert len(price(of_card, [room(hour="40")], stretches=for_minutes(481)).lines) == 2


def test_overtime_of_a_day_rate_takes_the_days_hours_for_its_hour():
    of_card = card(overtime_after_minutes=600, overtime_percent=Decimal(50))

    priced = price(of_card, [room(day="405")], stretches=for_minutes(720))

    assert summary(priced)[1] == (
        "Overtime, 50 % on top",
        "2 h",
        Decimal("40.50"),
        Decimal("40.50"),
    )


def test_equipment_has_no_overtime():
    microphone = Hire("Culvert 12", {Basis.HOUR: Decimal(5)}, has_overtime=False)

    priced = price(card(overtime_after_minutes=60), [microphone], stretches=for_minutes(180))

    assert [line.basis for line in priced.lines] == ["By the hour"]


@pytest.mark.parametrize(
    ("until", "days"),
    [(at(1, 11), 1), (at(2, 10), 1), (at(2, 10, 1), 2), (at(3, 18), 3)],
)
def test_lockout_days_run_to_the_same_hour_and_a_begun_one_counts(until, days):
    assert lockout_days(at(1, 10), until) == days


def test_lockout_day_of_a_clock_change_is_one_day():
    assert lockout_days(at(24, 12, month=10), at(25, 12, month=10)) == 1
    assert lockout_days(at(28, 12, month=3), at(29, 12, month=3)) == 1


def test_lockout_rate_goes_before_hours_and_days():
    of_room = room(hour="40", day="400", lockout="550")

    priced = price(card(), [of_room], stretches=for_minutes(600), lockout_days=3)

    assert summary(priced) == [
        ("By the lockout day", "3 days", Decimal("550.00"), Decimal("1650.00"))
    ]


def test_rate_once_a_session_stands_beside_any_other():
    priced = price(card(), [room(hour="40", session="25")], stretches=for_minutes(120))

    assert [line.amount for line in priced.lines] == [Decimal("80.00"), Decimal("25.00")]


@pytest.mark.parametrize(
    ("rates", "stretches", "why"),
    [
        ({}, for_minutes(120), "“House” has no rate for it."),
        (
            {"lockout": "500"},
            for_minutes(120),
            "“House” has a rate by the lockout day only, and this session is not a lockout.",
        ),
        ({"hour": "40"}, [], "No hours entered."),
    ],
)
def test_what_has_no_price_is_a_line_that_says_so(rates, stretches, why):
    priced = price(card(), [room(**rates), room(session="10")], stretches=stretches)

    assert [line.remark for line in priced.unpriced] == [why]
    assert priced.gross == Decimal("10.00")


def test_rate_of_nothing_is_a_price():
    priced = price(card(), [room(hour="0")], stretches=for_minutes(120))

    assert (priced.unpriced, priced.total) == ([], 0)


def test_sums_of_a_worked_example():
    """By hand: 5 h at 45.55 = 227.75; 12.5 % off = 28.47 (28.46875); 20 % of 199.28 = 39.86."""
    priced = price(
        card(), [room(hour="45.55")], stretches=for_minutes(300), discount_percent=Decimal("12.5")
    )

    assert sums_in_figures(priced) == [
        ["Subtotal", "227.75"],
        ["Discount, 12.5 %", "−28.47"],
        ["Net", "199.28"],
        ["VAT, 20 %", "39.86"],
        ["Total, GBP", "239.14"],
        ["Deposit, 50 % of the total", "119.57"],
        ["Balance after deposit", "119.57"],
    ]


@pytest.mark.parametrize(
    ("amount", "currency", "shown"),
    [
        ("0.005", "GBP", "0.01"),
        ("0.0049999", "GBP", "0.00"),
        ("2.675", "GBP", "2.68"),
        ("1234567.5", "EUR", "1,234,567.50"),
        ("1234.5", "JPY", "1,235"),
        ("-0.005", "GBP", "−0.01"),
    ],
)
def test_half_goes_up_to_the_currencys_smallest_unit(amount, currency, shown):
    assert figures(Decimal(amount), currency) == shown


def test_currency_without_a_smaller_unit_is_priced_whole():
    priced = price(card(currency="JPY"), [room(hour="3333")], stretches=for_minutes(150))

    assert lines_in_figures(priced)[0]["amount"] == "8,333"
    assert (priced.tax, priced.total) == (Decimal(1667), Decimal(10000))


@pytest.mark.parametrize(("late", "counts_from"), [(0, 0), (15, 15), (16, 0), (60, 0)])
def test_client_later_than_the_grace_pays_from_the_booked_start(late, counts_from):
    """Late by exactly the grace counts as in time."""
    work = [(MORNING + timedelta(minutes=late), MORNING + timedelta(hours=4))]

    counted = counted_from_booked_start(work, booked_start=MORNING, grace_minutes=15)

    assert counted[0][0] == MORNING + timedelta(minutes=counts_from)
    assert sum((ends - starts for starts, ends in counted), timedelta(0)) == timedelta(
        minutes=240 - counts_from
    )


def test_work_that_begins_early_counts_from_there():
    early = [(MORNING - timedelta(hours=1), MORNING + timedelta(hours=2))]

    assert counted_from_booked_start(early, booked_start=MORNING, grace_minutes=0) == early


def test_rules_are_said_with_the_cards_figures():
    said = " ".join(rules_in_words(card(overtime_after_minutes=480)))

    assert "steps of 30 min" in said
    assert "the minimum charge per day is 2 h" in said
    assert "time beyond 8 h on one day costs 50 % of the hourly rate on top" in said
    assert "smallest unit (0.01 GBP), halves up" in said


def test_set_up_is_billed_in_steps_beside_the_day_where_the_card_says_so():
    """4 h at 40.00; 50 min of load-in and teardown are two half hours at half the rate: 20.00."""
    of_room = Hire("Rope Floor", {Basis.HOUR: Decimal(40)}, set_up_minutes=50)

    priced, without = (
        price(card(set_up_percent=percent), [of_room], stretches=for_minutes(240))
        for percent in (Decimal(50), Decimal(0))
    )

    assert summary(priced) == [
        ("By the hour", "4 h", Decimal("40.00"), Decimal("160.00")),
        ("Load-in and teardown, 50 %", "1 h", Decimal("40.00"), Decimal("20.00")),
    ]
    assert summary(without) == summary(priced)[:1]


def test_set_up_makes_neither_a_day_rate_nor_overtime():
    """9 h and an hour of set-up: a day of 10 h, from which both would apply, is not reached."""
    of_room = Hire(
        "Rope Floor", {Basis.HOUR: Decimal(40), Basis.DAY: Decimal(390)}, set_up_minutes=60
    )
    of_card = card(set_up_percent=Decimal(100), overtime_after_minutes=540)

    priced = price(of_card, [of_room], stretches=for_minutes(540))

    assert [(line.basis, line.amount) for line in priced.lines] == [
        ("By the hour", Decimal("360.00")),
        ("Load-in and teardown", Decimal("40.00")),
    ]


def test_set_up_within_a_lockout_rate_is_not_billed():
    of_room = Hire("Rope Floor", {Basis.LOCKOUT: Decimal(550)}, set_up_minutes=60)

    priced = price(card(set_up_percent=Decimal(100)), [of_room], stretches=[], lockout_days=1)

    assert [line.amount for line in priced.lines] == [Decimal("550.00")]


def test_each_rate_of_tax_is_worked_out_once_on_all_that_is_taxed_at_it():
    """EN 16931-1, BR-CO-17 (from memory): per rate, taxable amount × rate, rounded to two places.
    By hand: 200.00 + 33.33 and 10.00 less 10 % are 210.00 (233.33 − 23.33) and 9.00; 20 % of
    210.00 is 42.00, 5 % of 9.00 is 0.45."""
    hires = [
        room(hour="100"),
        room(session="33.33"),
        Hire("Score", {Basis.SESSION: Decimal(10)}, taxes={Basis.SESSION: Decimal(5)}),
    ]

    priced = price(card(), hires, stretches=for_minutes(120), discount_percent=Decimal(10))

    assert priced.taxes == [
        TaxRow("VAT", Decimal(20), Decimal("210.00"), Decimal("42.00")),
        TaxRow("VAT", Decimal(5), Decimal("9.00"), Decimal("0.45")),
    ]
    assert (priced.discount, priced.net, priced.total) == (
        Decimal("24.33"),
        Decimal("219.00"),
        Decimal("261.45"),
    )
    assert sums_in_figures(priced)[3:5] == [
        ["VAT, 20 % of 210.00", "42.00"],
        ["VAT, 5 % of 9.00", "0.45"],
    ]
    assert lines_in_figures(priced)[2]["basis"] == "Once a session; VAT 5 %"


# Properties, for any card and any hours (hypothesis).
money = st.decimals(min_value=0, max_value=5000, places=2)
percents = st.decimals(min_value=0, max_value=100, places=2)
cards = st.builds(
    card,
    minimum_minutes=st.integers(0, 300),
    step_minutes=st.integers(1, 120),
    day_minutes=st.integers(60, 1440),
    overtime_after_minutes=st.none() | st.integers(0, 1440),
    overtime_percent=percents,
    tax_percent=percents,
    deposit_percent=percents,
    set_up_percent=percents,
    currency=st.sampled_from(["GBP", "EUR"]),
)
rates = st.dictionaries(st.sampled_from([Basis.HOUR, Basis.DAY, Basis.SESSION]), money)
hires = st.lists(
    st.builds(
        Hire,
        st.just("Rope Floor"),
        rates,
        st.booleans(),
        set_up_minutes=st.integers(0, 300),
        taxes=st.dictionaries(st.sampled_from([Basis.HOUR, Basis.SESSION]), percents),
    ),
    min_size=1,
    max_size=4,
)


@given(cards, hires, st.integers(1, 5000), st.integers(0, 3000), percents)
def test_more_hours_never_cost_less(of_card, of_hires, minutes, more, discount):
    shorter, longer = (
        price(of_card, of_hires, stretches=for_minutes(worked), discount_percent=discount)
        for worked in (minutes, minutes + more)
    )

    assert shorter.gross <= longer.gross
    assert shorter.net <= longer.net
    assert shorter.total <= longer.total


@given(cards, hires, st.integers(1, 5000), percents)
def test_no_cent_is_lost(of_card, of_hires, minutes, discount):
    priced = price(of_card, of_hires, stretches=for_minutes(minutes), discount_percent=discount)
    amounts = [line.amount for line in priced.lines if line.amount is not None]

    assert sum(amounts, Decimal(0)) - priced.discount == priced.net
    assert priced.net + priced.tax == priced.total
    assert priced.deposit + priced.balance == priced.total
    sums = (*amounts, priced.discount, priced.net, priced.tax, priced.total, priced.deposit)
    assert all(amount >= 0 and rounded(amount, "GBP") == amount for amount in sums)


@given(cards, st.lists(st.integers(1, 2000), min_size=1, max_size=5))
def test_work_is_billed_for_at_least_its_time_and_less_than_a_step_more(of_card, worked):
    for minutes in worked:
        billed = billed_minutes(of_card, minutes)
        least = max(minutes, of_card.minimum_minutes)

        assert least <= billed < least + of_card.step_minutes
        assert billed % of_card.step_minutes == 0


@given(st.datetimes(datetime(2026, 1, 1), datetime(2027, 1, 1)), st.integers(1, 60 * 24 * 30))
def test_no_minute_is_lost_between_days(starts, minutes):
    starts_at = starts.replace(second=0, microsecond=0, tzinfo=UTC)

    worked = worked_by_day([(starts_at, starts_at + timedelta(minutes=minutes))])

    assert sum(worked.values()) == minutes
    assert max(worked.values()) <= 25 * 60
