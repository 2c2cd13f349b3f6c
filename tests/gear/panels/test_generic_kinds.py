import pytest

from gear.audio.marks import marks_from_text
from gear.panels.drawing import draw_control
from gear.panels.engraving import draw_engraved
from gear.panels.forms import ControlFormSet, described
from gear.panels.generic_kinds import GENERIC_KINDS
from gear.panels.models import Control


@pytest.mark.parametrize("kind", GENERIC_KINDS, ids=lambda kind: kind.key)
def test_generic_kind_passes_as_if_it_were_typed_and_is_drawn(kind):
    controls = kind.controls()
    rows = described(controls)
    typed = {"controls-TOTAL_FORMS": len(rows), "controls-INITIAL_FORMS": 0} | {
        f"controls-{number}-{name}": "" if value is None else value
        for number, row in enumerate(rows)
        for name, value in row.items()
    }
    formset = ControlFormSet(typed, prefix="controls")

    assert formset.is_valid(), formset.errors
    assert [control.facts() for control in formset.controls()] == [
        control.facts() for control in controls
    ]
    for control in controls:
        dial = control.dial()
        assert marks_from_text(control.marks_text(), control.kind, control.unit) == dial.marks
        for mark in dial.marks:
            assert draw_control(control, mark.value).startswith("<svg")
        assert draw_engraved(control).count("<text") == len([m for m in dial.marks if m.label])


def test_generic_kinds_are_told_apart():
    assert len({kind.key for kind in GENERIC_KINDS}) == len({kind.name for kind in GENERIC_KINDS})
    assert len(GENERIC_KINDS) >= 10


def test_engraved_figures_are_set_with_a_true_minus():
    marks = marks_from_text("-14 @ 7:00, 0 @ 12:00, 14 @ 5:00", "continuous", "dB")
    engraved = Control(
        label="Low", kind="continuous", unit="dB", marks=[vars(mark) for mark in marks]
    )

    assert ">−14</text>" in draw_engraved(engraved)
