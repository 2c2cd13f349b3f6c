"""Which controls would bring a chain back to what it did: the whole way from two measurements to a proposal."""

from collections.abc import Callable, Sequence

from gear.audio.proving.explaining.calibrating import calibrated
from gear.audio.proving.explaining.choosing import chosen
from gear.audio.proving.explaining.difference import Rows, remainder, rows_of
from gear.audio.proving.explaining.model import Model
from gear.audio.proving.explaining.predicting import Predictor
from gear.audio.proving.explaining.proposal import (
    Explanation,
    Move,
    Proposal,
    Reason,
    Remainder,
)
from gear.audio.proving.explaining.searching import ANY_DB, FED_DB, Fit, Search
from gear.audio.proving.explaining.turning import Turn, turn_of
from gear.audio.proving.result import Result

#: What is proposed leaves at most so much of the difference.
_MOST = 0.5

Harm = Callable[[Sequence[Move]], str]


def _harmless(moves: Sequence[Move]) -> str:
    return ""


def explain(
    model: Model, then: Result, now: Result, tolerance_db: float, *, harm: Harm = _harmless
) -> Proposal:
    """What to turn so that `now` becomes `then`. Both have levels by one reference (`in_dbu`).

    `harm` says in a sentence why turns are not to be made by our record, empty where they may: what
    it speaks against is withheld, never proposed.
    """
    rows = rows_of(then, now)
    if rows is None:
        return Proposal(None, None, why_none="not measured")
    differs = remainder(rows, rows.by)
    if differs.worst_db <= tolerance_db:
        return Proposal(differs, None, why_none="alike")
    predict = Predictor(model, rows.levels_in)
    start, _ = calibrated(predict, rows)
    is_rough = not all(knob.is_exact for knob in model.knobs())
    search = Search(predict, rows, start, is_rough=is_rough)
    if not search.candidates:
        return Proposal(differs, None, why_none="no controls")
    stated = _stated(search, rows, differs, tolerance_db, harm)
    if not stated:
        search = Search(predict, rows, start, is_rough=is_rough, elsewhere_db=ANY_DB)
        stated = _stated(search, rows, differs, tolerance_db, harm)
    safe = [each for each in stated if each.moves and not each.harm]
    withheld = tuple(each for each in stated if each.harm)
    if not safe:
        return Proposal(differs, None, (), _why_none(stated), is_rough, withheld)
    return Proposal(differs, safe[0], tuple(safe[1:]), None, is_rough, withheld)


def _stated(
    search: Search, rows: Rows, differs: Remainder, tolerance_db: float, harm: Harm
) -> list[Explanation]:
    """What explains most of the difference, the best first; of a level that no control gives, the rest."""
    found = [_explanation(search, rows, fit, harm) for fit in chosen(search, search.run())]
    if search.elsewhere_db == FED_DB:
        return [each for each in found if each.remains.worst_db <= _MOST * differs.worst_db]
    most = max(_MOST * differs.shape_db, tolerance_db)
    return [each for each in found if each.remains.shape_db <= most]


def _why_none(stated: list[Explanation]) -> Reason:
    if not stated:
        return "not explained"
    return "harm" if any(each.harm for each in stated) else "elsewhere"


def _explanation(search: Search, rows: Rows, fit: Fit, harm: Harm) -> Explanation:
    turned, moves = fit.x.copy(), []
    for n in sorted(fit.moved):
        slot = search.predict.slots[n]
        turn: Turn = turn_of(slot.knob, off=fit.x[n] - search.start[n])
        turned[n] += turn.x_to - turn.x_from
        moves.append(
            Move(
                slot.knob.key,
                slot.knob.meaning,
                slot.knob.unit,
                turn.from_value,
                turn.to_value,
                turn.acts_as,
                turn.stands_elsewhere,
                search.effect_db(fit.x, n),
            )
        )
    by = rows.by + search.predict(turned) - search.predict(fit.x)
    moves, elsewhere = tuple(moves), float(fit.x[-1] - search.start[-1])
    return Explanation(moves, elsewhere, remainder(rows, by), harm(moves) if moves else "")
