"""Currencies by their ISO 4217 codes: the smallest unit, and rounding to it."""

from decimal import ROUND_HALF_UP, Decimal

# ISO 4217, minor units other than two places (from memory). Amounts are stored to two places, so
# the currencies of three and four are refused where a card is written.
WITHOUT_MINOR_UNIT = frozenset(
    [
        "BIF",
        "CLP",
        "DJF",
        "GNF",
        "ISK",
        "JPY",
        "KMF",
        "KRW",
        "PYG",
        "RWF",
        "UGX",
        "UYI",
        "VND",
        "VUV",
        "XAF",
        "XOF",
        "XPF",
    ]
)
FINER_THAN_STORED = frozenset(["BHD", "CLF", "IQD", "JOD", "KWD", "LYD", "OMR", "TND", "UYW"])


def minor_unit(currency: str) -> Decimal:
    """The smallest amount of the currency: 0.01, or 1 where it has no smaller unit."""
    return Decimal(1) if currency in WITHOUT_MINOR_UNIT else Decimal("0.01")


def rounded(amount: Decimal, currency: str) -> Decimal:
    """To the currency's smallest unit; half of it goes up, away from zero."""
    return amount.quantize(minor_unit(currency), ROUND_HALF_UP)


def figures(amount: Decimal, currency: str) -> str:
    """ "1,234.50", with a true minus; without the currency's code."""
    return f"{rounded(amount, currency):,f}".replace("-", "−")


def plain(number: Decimal) -> str:
    """ "50", "17.5": without zeros that say nothing."""
    return f"{Decimal(number).normalize():f}"
