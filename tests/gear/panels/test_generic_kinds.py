import pytest

from gear.audio.marks import marks_from_text
from gear.panels.drawing import draw_control
from gear.panels.engraving import draw_engraved
from gear.panels.forms import ControlFormSet
from gear.panels.generic_kinds import GENERIC_KINDS
from gear.panels.models import Control
from gear.panels.rows import BLANK


@pytest.mark.parametrize("kind", GENERIC_KINDS)
def test_generic_kind_passes_as_if_it_were_typed_and_is_drawn(kind):
    rows = GENERIC_KINDS[kind]
    typed = {"controls-TOTAL_FORMS": len(rows), "controls-INITIAL_FORMS": 0} | {
        f"controls-{number}-{name}": value
        for number, row in enumerate(rows)
        for name, value in (BLANK | row).items()
    }
    formset = ControlFormSet(typed, prefix="controls")

    assert formset.is_valid(), formset.errors
    assert len(formset.controls()) == len(rows)
    for control in formset.controls():
        dial = control.dial()
        assert marks_from_text(control.marks_text(), control.kind, control.unit) == dial.marks
        for mark in dial.marks:
            assert draw_control(control, mark.value).startswith("<svg")
        assert draw_engraved(control).count("<text") == len([m for m in dial.marks if m.label])


def test_there_are_generic_kinds_of_what_a_rack_holds():
    assert len(GENERIC_KINDS) >= 10


def test_engraved_figures_are_set_with_a_true_minus():
    marks = marks_from_text("-14 @ 7:00, 0 @ 12:00, 14 @ 5:00", "continuous", "dB")
    engraved = Control(
        label="Low", kind="continuous", unit="dB", marks=[vars(mark) for mark in marks]
    )

    assert ">−14</text>" in draw_engraved(engraved)
