"""What the client reads before they sign a work order."""

from sessions.money.models import MoneyPaper
from sessions.signing.statement import Statement
from sessions.terms.currencies import figures
from sessions.terms.price_words import is_free, without_charge


def order_statement(paper: MoneyPaper) -> Statement:
    """The whole of what it charges: the paper itself never changes, and this is kept with the
    signature besides."""
    said = paper.as_issued
    hours = "; ".join(f"{day}: {worked}" for day, _, worked, *_ in said["hours"])
    free = without_charge(line for line in paper.lines if is_free(line))
    return Statement(
        title=str(paper),
        facts=(
            *(tuple(fact) for fact in said["facts"]),
            ("Hours worked", hours),
            *(
                (line["what"], _line(line, paper.currency))
                for line in paper.lines
                if line["amount"] and not is_free(line)
            ),
            *((("Without charge", free.in_words),) if free else ()),
            *(("Overtime", each["words"]) for each in said.get("overtime", [])),
            *(tuple(each) for each in said["sums"]),
            *((("Note", paper.note),) if paper.note else ()),
        ),
        sentence=f"I agree to this work order: {figures(paper.total, paper.currency)} "
        f"{paper.currency} in all.",
    )


def _line(line: dict, currency: str) -> str:
    return f"{line['basis']}, {line['quantity']} at {line['rate']}: {line['amount']} {currency}"
