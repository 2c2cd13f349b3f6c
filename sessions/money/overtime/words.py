"""Overtime as papers and pages say it."""

from sessions.money.overtime.price import worked_without_approval
from sessions.money.session_costs import SessionCosts
from sessions.periods import duration_in_words, moment_in_words


def overtime_on_paper(costs: SessionCosts) -> list[dict]:
    """What was approved, as an issued paper keeps it, with the key of its signature; last what was
    worked without."""
    lines = [
        {
            "words": f"{each}: {each.price_in_words}, approved by {each.signature} "
            f"{moment_in_words(each.signature.signed_at)}",
            "signature": each.signature_id,
        }
        for each in costs.overtime
        if not each.is_void
    ]
    if without := worked_without_approval(costs):
        lines += [
            {
                "words": f"{duration_in_words(without)} after the agreed time: not approved",
                "signature": None,
            }
        ]
    return lines
