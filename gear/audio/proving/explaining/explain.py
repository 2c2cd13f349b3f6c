"""Which controls would bring a chain back to what it did: the whole way from two measurements to a proposal."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from gear.audio.proving.explaining.calibrating import calibrated
from gear.audio.proving.explaining.choosing import chosen
from gear.audio.proving.explaining.difference import remainder, rows_of
from gear.audio.proving.explaining.model import Knob, Model
from gear.audio.proving.explaining.predicting import Predictor
from gear.audio.proving.explaining.proposal import (
    Explanation,
    Move,
    Proposal,
    Reason,
    Remainder,
)
from gear.audio.proving.explaining.searching import ANY_DB, MOST, Fit, Search
from gear.audio.proving.explaining.timing import mistimed
from gear.audio.proving.explaining.turning import answers_of, turn_of
from gear.audio.proving.result import Result

#: What is proposed leaves at most so much of the squared errors, or of the greatest difference.
_MOST, _HALF = 0.25, 0.5
_TOLD_APART_DB = 0.25

Harm = Callable[[Sequence[Move]], str]


def _harmless(moves: Sequence[Move]) -> str:
    return ""


def explain(
    model: Model,
    then: Result,
    now: Result,
    tolerance_db: float,
    *,
    earlier: Sequence[Proposal] = (),
    harm: Harm = _harmless,
) -> Proposal:
    """What to turn so that `now` becomes `then`. Both have levels by one reference (`in_dbu`).

    earlier: the rounds before, the first first, each with what was done as its best: it tells how the
    controls answer. The model's knobs have as `now` where they stand after that.

    `harm` says in a sentence why turns are not to be made by our record, empty where they may: what
    it speaks against is withheld, never proposed.
    """
    rows = rows_of(then, now)
    if rows is None:
        return Proposal(None, None, why_none="not measured")
    differs = remainder(rows, rows.by)
    timed = tuple(_move(knob, off, earlier, 0.0)[0] for knob, off in mistimed(model, then, now))
    if differs.worst_db <= tolerance_db:
        return _only_timed(differs, timed, harm)
    predict = Predictor(model, rows.levels_in, rows.sweeps_in[1])
    reference = calibrated(predict, rows)
    searches = partial(Search, predict, rows, reference.x)
    search = searches(is_rough=reference.is_rough)
    if not search.candidates:
        return Proposal(differs, None, why_none="no controls")
    is_rough, stated = reference.is_rough, _stated(search, differs, tolerance_db, earlier, harm)
    if not is_rough and (not stated or stated[0].remains.worst_db > tolerance_db):
        is_rough = True
        stated = _stated(searches(is_rough=True), differs, tolerance_db, earlier, harm) or stated
    if not stated:
        search = searches(is_rough=is_rough, elsewhere_db=ANY_DB)
        stated = _stated(search, differs, tolerance_db, earlier, harm)
    stated = [_with(each, timed, harm) for each in stated]
    safe = [each for each in stated if each.moves and not each.harm]
    withheld = tuple(each for each in stated if each.harm)
    if not safe:
        return Proposal(differs, None, (), _why_none(stated), is_rough, withheld)
    return Proposal(differs, safe[0], tuple(safe[1:]), None, is_rough, withheld)


def _stated(
    search: Search,
    differs: Remainder,
    tolerance_db: float,
    earlier: Sequence[Proposal],
    harm: Harm,
) -> list[Explanation]:
    """What explains most of the difference, the best first; of a level that no control gives, the rest."""
    sizes = search.run()
    fits = chosen(search, sizes)
    found = [(fit, _explanation(search, fit, earlier, harm)) for fit in fits]
    half = _HALF * differs.worst_db
    if search.elsewhere_db == ANY_DB:
        half = max(_HALF * differs.shape_db, tolerance_db)
        kept = [each for _, each in found if each.remains.shape_db <= half]
    else:
        most = _MOST * sizes[0][0].cost
        kept = [each for fit, each in found if fit.cost <= most or each.remains.worst_db <= half]
    kept.sort(key=_order)
    return [each for each in kept if each.remains.worst_db <= differs.worst_db]


def _order(each: Explanation) -> tuple[int, int, int]:
    """Fewest controls first; what stands where the record says can be turned without looking for it; of
    sets that can't be told apart, the one that leaves less."""
    elsewhere = sum(move.stands_elsewhere for move in each.moves)
    return len(each.moves), elsewhere, round(each.remains.worst_db / _TOLD_APART_DB)


def _only_timed(differs: Remainder, timed: tuple[Move, ...], harm: Harm) -> Proposal:
    """What agrees in level and response may yet follow at another speed."""
    if not timed:
        return Proposal(differs, None, why_none="alike")
    found = Explanation(timed, 0.0, differs, harm(timed))
    if found.harm:
        return Proposal(differs, None, why_none="harm", withheld=(found,))
    return Proposal(differs, found, is_rough=True)


def _with(each: Explanation, timed: tuple[Move, ...], harm: Harm) -> Explanation:
    """With the timing's controls, as far as so many are named."""
    room = MOST - len(each.moves)
    if not timed or room <= 0 or not each.moves:
        return each
    moves = (*each.moves, *timed[:room])
    return replace(each, moves=moves, harm=harm(moves))


def _why_none(stated: list[Explanation]) -> Reason:
    if not stated:
        return "not explained"
    return "harm" if any(each.harm for each in stated) else "elsewhere"


def _explanation(search: Search, fit: Fit, earlier: Sequence[Proposal], harm: Harm) -> Explanation:
    moves, turned = [], fit.x.copy()
    for n in sorted(fit.moved):
        off = float(fit.x[n] - search.start[n])
        move, acts = _move(search.predict.slots[n].knob, off, earlier, search.effect_db(fit.x, n))
        moves.append(move)
        turned[n] += acts
    # Turned back it is read from the sweep that it was read from then.
    left = search.predict(turned, search.rows.sweeps_in[0]) - search.predict(fit.x)
    by = search.rows.by + left
    return Explanation(
        tuple(moves),
        float(fit.x[-1] - search.start[-1]),
        remainder(search.rows, by),
        harm(moves) if moves else "",
    )


def _move(
    knob: Knob, off: float, earlier: Sequence[Proposal], effect_db: float
) -> tuple[Move, float]:
    """And how far it goes by that, in its coordinate."""
    answers = _answers(knob, off, earlier)
    turn = turn_of(knob, off=off, answers=answers)
    turned = turn.x_to - turn.x_from
    move = Move(
        knob.key,
        knob.meaning,
        knob.unit,
        turn.from_value,
        turn.to_value,
        turn.acts_as,
        turn.stands_elsewhere,
        effect_db,
        off,
        turned,
    )
    return move, answers * turned


def _answers(knob: Knob, off: float, earlier: Sequence[Proposal]) -> float:
    """As the last round that turned it tells."""
    for proposal in reversed(earlier):
        for move in proposal.best.moves if proposal.best else ():
            if move.key == knob.key:
                return answers_of(move.turned, move.off, off)
    return 1.0
