"""A price and the rules that it was reckoned by, as pages and papers say them."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from sessions.periods import duration_in_words
from sessions.terms.currencies import figures, minor_unit, plain
from sessions.terms.models import RateCard
from sessions.terms.prices import Line, Price

COUNTED = {
    "room": ("room", "rooms"),
    "person": ("person", "people"),
    "unit": ("unit", "units"),
    "": ("item", "items"),
}


def lines_in_figures(price: Price) -> list[dict[str, str]]:
    """The lines as pages and papers show them, and as an issued paper keeps them."""
    return [
        {
            "what": line.what,
            "basis": line.basis + _own_tax(line, price),
            "quantity": line.quantity,
            "rate": "" if line.rate is None else figures(line.rate, price.currency),
            "amount": "" if line.amount is None else figures(line.amount, price.currency),
            "remark": line.remark,
            "kind": line.kind,
        }
        for line in price.lines
    ]


@dataclass(frozen=True)
class WithoutCharge:
    """Lines of nothing, of which pages and papers only say how many: "8 units"."""

    names: tuple[str, ...]
    in_words: str


def without_charge(lines: Iterable[dict[str, str]]) -> WithoutCharge | None:
    """Of the lines that charge nothing, as `lines_in_figures` gave them; None without any."""
    lines = list(lines)
    kinds = Counter(line.get("kind", "") for line in lines)
    words = [_counted(count, COUNTED.get(kind, COUNTED[""])) for kind, count in kinds.items()]
    return (
        WithoutCharge(tuple(line["what"] for line in lines), " and ".join(words)) if lines else None
    )


def is_free(line: dict[str, str]) -> bool:
    """Whether a line in figures charges nothing; one without a price is not free."""
    return bool(line["amount"]) and not set(line["amount"]) - set("0.")


def _counted(count: int, words: tuple[str, str]) -> str:
    return f"{count} {words[count != 1]}"


def _own_tax(line: Line, price: Price) -> str:
    """Where a line is taxed at another rate than the card's."""
    if line.tax_percent in (None, price.tax_percent):
        return ""
    return f"; {price.tax_name} {plain(line.tax_percent)} %"


def sums_in_figures(price: Price) -> list[list[str]]:
    """Name and amount of what stands under the lines."""
    sums = []
    if price.discount_percent:
        sums += [
            ["Subtotal", price.gross],
            [f"Discount, {plain(price.discount_percent)} %", -price.discount],
        ]
    sums += [
        ["Net", price.net],
        *taxes_in_words(price),
        [f"Total, {price.currency}", price.total],
        [f"Deposit, {plain(price.deposit_percent)} % of the total", price.deposit],
        ["Balance after deposit", price.balance],
    ]
    return [[name, figures(amount, price.currency)] for name, amount in sums]


def taxes_in_words(price: Price) -> list[tuple[str, Decimal]]:
    """Each rate of tax and the tax at it: "VAT, 20 %"; where there are several, on how much."""
    several = len(price.taxes) > 1
    return [
        (f"{row.rate} of {figures(row.net, price.currency)}" if several else row.rate, row.tax)
        for row in price.taxes
    ]


def rules_in_words(card: RateCard) -> list[str]:
    """What pages and papers say about how the price was worked out."""
    step, minimum, day = (
        duration_in_words(timedelta(minutes=minutes))
        for minutes in (card.step_minutes, card.minimum_minutes, card.day_minutes)
    )
    overtime = "There is no overtime on this card."
    if card.overtime_after_minutes is not None:
        after = duration_in_words(timedelta(minutes=card.overtime_after_minutes))
        overtime = (
            f"Overtime: time beyond {after} on one day costs "
            f"{plain(card.overtime_percent)} % of the hourly rate on top, for rooms and "
            "people, not for gear or within a lockout rate; without an hourly rate, an "
            f"hour is the day rate divided by {day}."
        )
    return [
        "Elapsed time is billed, also when clocks change, and counts towards the day on "
        f"which work began. Each day is billed in steps of {step}, a started step in "
        f"full; the minimum charge per day is {minimum}. {_set_up_in_words(card)}",
        f"From {day} the day rate applies; extra hours are charged by the hour, up to "
        "another day rate. Without an hourly rate, a started day is charged in full.",
        "A lockout rate is charged for each day from its first hour to the same hour of "
        "the next day; a started day counts in full. It takes precedence over rates by "
        "the hour and by the day.",
        "A rate once a session is charged in addition to any other. The rate of a unit "
        "takes precedence over the rate of its model.",
        overtime,
        "Each line, the discount, the tax and the deposit are rounded to the currency’s smallest "
        f"unit ({minor_unit(card.currency)} {card.currency}), halves up.",
    ]


def _set_up_in_words(card: RateCard) -> str:
    if not card.set_up_percent:
        return "Load-in, warm-up and teardown around the session are not billed."
    return (
        "Load-in and teardown around the session are billed in the same steps, beside the day’s "
        f"time, at {plain(card.set_up_percent)} % of the hourly rate of rooms and people, not "
        "within a lockout rate; the warm-up of gear is not billed."
    )
