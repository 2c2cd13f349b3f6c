"""How a control is turned that acts as if it stood elsewhere."""

from dataclasses import dataclass

from gear.audio.proving.explaining.coordinates import coordinate_of, ends, positions, value_near
from gear.audio.proving.explaining.model import Knob

#: Of its whole travel, so much may a turn run past the end and still count as reaching it.
_PAST = 0.005
#: What a taper may make of a turn; of a smaller turn than this nothing is learned. Ours, no source.
_ANSWERS, _LEAST_TURN = (0.4, 2.5), 0.02


@dataclass(frozen=True)
class Turn:
    """On the knob's scale; x_from and x_to are the coordinates of from_value and to_value."""

    from_value: float
    to_value: float
    acts_as: float
    stands_elsewhere: bool
    x_from: float
    x_to: float


def turn_of(knob: Knob, *, off: float, answers: float = 1.0) -> Turn:
    """Of a control that acts so far off, in its coordinate, from where it stood then. answers: how far it
    goes for each step that it is turned.

    By the record it stands at `stands_at` and is turned back by as much; where the scale ends before that,
    it can't stand there: it is turned from where it acts to where it stood.
    """
    low, high = ends(knob)
    acts_as = value_near(knob, coordinate_of(knob, knob.value) + off)
    recorded = coordinate_of(knob, knob.stands_at)
    wanted = recorded - off / answers
    past = _PAST * (high - low)
    reaches = low - past <= wanted <= high + past
    if knob.is_stepped:
        reaches = min(abs(x - wanted) for _, x in positions(knob)) <= abs(off) / 4
    if reaches:
        from_value, to_value = knob.stands_at, value_near(knob, wanted)
    else:
        from_value, to_value = acts_as, knob.value
    return Turn(
        from_value,
        to_value,
        acts_as,
        not reaches,
        coordinate_of(knob, from_value),
        coordinate_of(knob, to_value),
    )


def answers_of(turned: float, off_before: float, off_now: float) -> float:
    """How far a control went for each step that it was turned, as far as that can be."""
    if abs(turned) < _LEAST_TURN:
        return 1.0
    return min(max((off_now - off_before) / turned, _ANSWERS[0]), _ANSWERS[1])
