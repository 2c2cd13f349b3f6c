from decimal import Decimal

import pytest

from sessions.terms.taxes import TaxRow, read_taxes, tax_on, taxes_of


def amounts(*texts):
    return [("VAT", Decimal(percent), Decimal(net)) for percent, net in texts]


def test_each_rate_has_one_row_of_tax_on_its_sum():
    """20 % of 0.12 and of 0.13 is 0.02 and 0.03 line by line; EN 16931-1 (BR-CO-17) takes the sum."""
    found = taxes_of(amounts(("5", "10.00"), ("20", "0.12"), ("20", "0.12"), ("20", "0.13")), "GBP")

    assert found == [
        TaxRow("VAT", Decimal(20), Decimal("0.37"), Decimal("0.07")),
        TaxRow("VAT", Decimal(5), Decimal("10.00"), Decimal("0.50")),
    ]
    assert read_taxes([row.as_kept() for row in found]) == found


@pytest.mark.parametrize(
    ("net", "percent", "currency", "tax"),
    [
        ("0.05", "10", "GBP", "0.01"),  # 0.005: half of the smallest unit goes up
        ("-0.05", "10", "GBP", "-0.01"),  # and what is taken off is rounded like what is charged
        ("0.04", "10", "GBP", "0.00"),
        ("1005", "10", "JPY", "101"),  # ISO 4217: no smaller unit
        ("999.99", "0", "EUR", "0.00"),
    ],
)
def test_tax_is_rounded_once_to_the_smallest_unit(net, percent, currency, tax):
    assert tax_on(Decimal(net), Decimal(percent), currency) == Decimal(tax)
