"""Drawings on paper, measured in the pixels of the rendered PDF."""

import random
from datetime import UTC, datetime

from gear.panels.drawing import print_control
from gear.panels.models import Control
from sessions.papers.pdf import print_markup
from tests.drawings import drawings

TOLERANCE = 2  # degrees
KNOBS = 96
PAGE = """<!doctype html><html lang="en-GB"><body><h1>Knobs</h1><div>{}</div>
</body></html>"""
KNOB = '<div class="control">{}<p>{}</p></div>'


def random_knob(chance: random.Random) -> tuple[Control, float]:
    """A knob with 2 to 11 marks anywhere between 7 and 5 o'clock, and a value it can stand at."""
    kind = chance.choice(["continuous", "stepped"])
    count = chance.randint(2, 11)
    angles = sorted(chance.sample(range(-150, 151, 6), count))
    values = sorted(chance.sample(range(1, 1000), count), reverse=chance.random() < 0.5)
    marks = [
        {"value": value, "angle": angle, "label": ""}
        for value, angle in zip(values, angles, strict=True)
    ]
    scale = chance.choice(["linear", "log"])
    control = Control(label="Gain", kind=kind, scale=scale, marks=marks)
    value = chance.choice(values) if kind == "stepped" else chance.uniform(min(values), max(values))
    return control, value


def test_pointers_of_random_knobs_are_printed_where_the_dial_says():
    chance = random.Random(12)
    knobs = [random_knob(chance) for _ in range(KNOBS)]
    items = [KNOB.format(print_control(*knob), number) for number, knob in enumerate(knobs)]

    pdf = print_markup(
        PAGE.format("".join(items)),
        title="Knobs",
        base_url="https://studio.example/",
        printed_at=datetime(2026, 6, 1, tzinfo=UTC),
    )

    drawn = drawings(pdf)
    assert len(drawn) == KNOBS
    for picture, (control, value) in zip(drawn, knobs, strict=True):
        difference = picture.points_to() - control.dial().angle_of(value)
        assert abs((difference + 180) % 360 - 180) < TOLERANCE, (control.marks, value)
