"""Which controls would bring a chain back to what it did: the whole way from two measurements to a proposal."""

from collections.abc import Callable, Sequence

from gear.audio.proving.explaining.calibrating import calibrated
from gear.audio.proving.explaining.choosing import chosen
from gear.audio.proving.explaining.difference import Rows, remainder, rows_of
from gear.audio.proving.explaining.model import Model
from gear.audio.proving.explaining.predicting import ELSEWHERE, Predictor
from gear.audio.proving.explaining.proposal import Explanation, Move, Proposal, Reason
from gear.audio.proving.explaining.searching import Fit, Search
from gear.audio.proving.explaining.turning import Turn, turn_of
from gear.audio.proving.result import Result

#: What is proposed takes off at least so much of the difference.
_WORTH_TURNING = 0.5

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
    stated = [_explanation(search, rows, fit, harm) for fit in chosen(search, search.run())]
    worth = [each for each in stated if each.remains.worst_db <= _WORTH_TURNING * differs.worst_db]
    safe = [each for each in worth if each.moves and not each.harm]
    rest = tuple(each for each in worth if each not in safe)
    if not safe or (worth[0].moves == () and len(worth[0].moves) < len(safe[0].moves)):
        return Proposal(differs, None, (), _why_none(worth), is_rough, rest)
    return Proposal(differs, safe[0], tuple(safe[1:]), None, is_rough, rest)


def _why_none(worth: list[Explanation]) -> Reason:
    if not worth:
        return "not explained"
    return "harm" if any(each.harm for each in worth) else "elsewhere"


def _explanation(search: Search, rows: Rows, fit: Fit, harm: Harm) -> Explanation:
    turned, moves, elsewhere = fit.x.copy(), [], 0.0
    for n in sorted(fit.moved):
        slot = search.predict.slots[n]
        if slot.key == ELSEWHERE:
            elsewhere = float(fit.x[n] - search.start[n])
            continue
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
    moves = tuple(moves)
    return Explanation(moves, elsewhere, remainder(rows, by), harm(moves) if moves else "")
