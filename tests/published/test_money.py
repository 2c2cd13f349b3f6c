"""Prices and rounding against published rules of others."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from dateutil import tz
from hypothesis import given
from hypothesis import strategies as st

from sessions.terms.currencies import rounded
from sessions.terms.models import Basis, RateCard
from sessions.terms.pricing import Hire, price, worked_by_day

MORNING = datetime(2026, 6, 1, 9, tzinfo=UTC)
#: HM Revenue & Customs, VAT fractions: the tax in a sum that includes it. As quoted at
#: accountingservicesforbusiness.co.uk/resources/information-articles/vat-rates-and-fractions.
TAX_FRACTIONS = {"15": Fraction(3, 23), "17.5": Fraction(7, 47), "20": Fraction(1, 6)}


def priced(amount: str, tax_percent: str):
    """One hour at that rate."""
    card = RateCard(name="House", minimum_minutes=60, tax_percent=Decimal(tax_percent))
    hire = Hire("Rope Floor", {Basis.HOUR: Decimal(amount)})
    return price(card, [hire], stretches=[(MORNING, MORNING + timedelta(hours=1))])


@pytest.mark.parametrize(
    ("percent", "total"), [("15", "115.00"), ("17.5", "117.50"), ("20", "120.00")]
)
def test_hundred_pounds_and_tax(percent, total):
    """The examples of that table: £100 and the tax at 15, 17.5 and 20 %."""
    assert priced("100", percent).total == Decimal(total)


@pytest.mark.parametrize("percent", TAX_FRACTIONS)
@pytest.mark.parametrize("amount", ["1.00", "33.33", "480.00", "1234.56"])
def test_tax_is_the_published_fraction_of_the_total(percent, amount):
    found = priced(amount, percent)

    fraction = TAX_FRACTIONS[percent]
    assert found.tax == pytest.approx(
        Decimal(float(found.total * fraction.numerator / fraction.denominator)), abs=Decimal("0.01")
    )


@pytest.mark.parametrize(
    ("amount", "to"), [("123.454", "123.45"), ("123.455", "123.46"), ("123.459", "123.46")]
)
def test_half_goes_to_the_higher_multiple(amount, to):
    """cicc.or.jp/english/hyoujyunka/databook/205.htm, "type 1" (the rule of commerce, beside ISO 31-0
    and JIS Z 8401)."""
    assert rounded(Decimal(amount), "GBP") == Decimal(to)


@pytest.mark.parametrize(("amount", "to"), [("123.4", "123"), ("123.5", "124"), ("124.5", "125")])
def test_currency_without_a_smaller_unit_is_rounded_to_whole_ones(amount, to):
    """The same, and Council Regulation (EC) No 1103/97, article 5: to the sub-unit, or in its absence
    to the unit, and what lies half-way up (e-glossa.it, regolamento CE 1997 numero 1103 art. 5)."""
    assert rounded(Decimal(amount), "JPY") == Decimal(to)


NIGHTS = st.datetimes(datetime(2026, 1, 1), datetime(2027, 12, 31))


@given(NIGHTS, st.integers(1, 20 * 60))
def test_elapsed_minutes_are_those_of_dateutils_clock(starts, minutes):
    """The same stretch on Europe/London as dateutil has it, another reader of the tz database: from a
    time that its clock shows to one that it shows later."""
    london = tz.gettz("Europe/London")
    began = tz.resolve_imaginary(starts.replace(second=0, microsecond=0, tzinfo=london))
    ended = tz.resolve_imaginary(
        (began.replace(tzinfo=None) + timedelta(minutes=minutes)).replace(tzinfo=london)
    )
    elapsed = ended.astimezone(tz.UTC) - began.astimezone(tz.UTC)

    found = worked_by_day([(began.astimezone(UTC), ended.astimezone(UTC))])

    assert sum(found.values()) == max(0, round(elapsed.total_seconds() / 60))
