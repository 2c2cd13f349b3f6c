"""Hypothesis strategies: marks and dials as they might be engraved."""

from itertools import accumulate
from random import Random

from hypothesis import assume
from hypothesis import strategies as st

from gear.audio.dial import Dial, Mark

gaps = st.floats(min_value=0.01, max_value=1000)
ratios = st.floats(min_value=1.01, max_value=50)
labels = st.text(
    st.characters(codec="utf-8", exclude_characters=",;", exclude_categories=("Z", "C")),
    max_size=6,
)


@st.composite
def angles(draw, count, kind="continuous"):
    """Rising places: half degrees on knobs, halves of a per cent on sliders."""
    low, high = (0, 200) if kind == "slider" else (-360, 360)
    places = st.sets(st.integers(low, high), min_size=count, max_size=count)
    return [place / 2 for place in sorted(draw(places))]


@st.composite
def dials(draw, kinds=("continuous", "slider", "reading"), scales=("linear", "log")):
    """Dials that interpolate, with rising or falling values."""
    kind, scale = draw(st.sampled_from(kinds)), draw(st.sampled_from(scales))
    count = draw(st.integers(min_value=2, max_value=7))
    if scale == "log":
        start = draw(st.floats(min_value=0.01, max_value=100))
        steps = draw(st.lists(ratios, min_size=count - 1, max_size=count - 1))
        values = list(accumulate([start, *steps], lambda value, ratio: value * ratio))
    else:
        start = draw(st.floats(min_value=-1000, max_value=1000))
        steps = draw(st.lists(gaps, min_size=count - 1, max_size=count - 1))
        values = list(accumulate([start, *steps]))
    if draw(st.booleans()):
        values.reverse()
    places = draw(angles(count, kind))
    marks = tuple(Mark(value, angle) for value, angle in zip(values, places, strict=True))
    return Dial(marks, kind, scale)


#: What makers engrave: bare figures that stand for others, words twice, ∞ and nothing.
ENGRAVED = [
    "",
    "0",
    "1",
    "2",
    "10",
    "1k",
    "1.5",
    "20 dB",
    "off",
    "Off",
    "in",
    "max",
    "∞",
    "-∞",
    "−∞",
]
ENGRAVED += ["∞:1", "4:1", "inf", "12:00", "60 %", "1 Hz", "+3"]


@st.composite
def engraved_dials(draw):
    """Dials of all kinds with figures and words at their marks, some of which are nearly equal."""
    dial = draw(st.one_of(dials(), selectors()))
    close = draw(st.sampled_from([1.0, 1e-3, 1e-6, 1e-9]))
    first = dial.marks[0].value
    marks = []
    for mark in dial.marks:
        value = first + (mark.value - first) * close
        if draw(st.booleans()):
            value = round(value, 2)
        label = draw(st.one_of(st.sampled_from(ENGRAVED), labels, st.just(f"{value:.3g}")))
        marks.append(Mark(value, mark.angle, " ".join(label.split())))
    try:
        return Dial(tuple(marks), dial.kind, dial.scale)
    except ValueError:  # two that became equal
        assume(False)


@st.composite
def selectors(draw):
    """Stepped knobs and switches of 2 to 41 positions."""
    values = draw(st.lists(st.integers(-3000, 3000), min_size=2, max_size=41, unique=True))
    kind = draw(st.sampled_from(["stepped", "switch"]))
    step = 1 if kind == "switch" else 300 / len(values)
    marks = (Mark(value, place * step - 150 * (step > 1)) for place, value in enumerate(values))
    return Dial(tuple(marks), kind)


@st.composite
def dials_with_two_shares(draw):
    """A dial, and two points of its whole travel as shares from 0 to 1, in order."""
    share = st.floats(min_value=0, max_value=1)
    return draw(dials()), sorted([draw(share), draw(share)])


def random_dial(chance: Random) -> Dial:
    """A dial of any kind and scale, with marks as uneven and as reversed as they come."""
    kind = chance.choice(["continuous", "slider", "reading", "stepped"])
    scale = chance.choice(["linear", "log"])
    count = chance.randint(2, 12)
    if scale == "log":
        steps = [chance.uniform(1.01, 20) for _ in range(count - 1)]
        values = list(accumulate([chance.uniform(0.01, 100), *steps], lambda v, step: v * step))
    else:
        steps = [chance.uniform(0.01, 500) for _ in range(count - 1)]
        values = list(accumulate([chance.uniform(-1000, 1000), *steps]))
    if chance.random() < 0.5:
        values.reverse()
    if kind == "stepped":
        chance.shuffle(values)
    low, high = (0, 200) if kind == "slider" else (-360, 360)
    places = sorted(chance.sample(range(low, high + 1), count))
    marks = (Mark(value, place / 2) for value, place in zip(values, places, strict=True))
    return Dial(tuple(marks), kind, scale)
