"""Figures as they are typed into forms: with the unit, a comma, a sign apart."""

from decimal import Decimal

import pytest
from django import forms
from django.core.exceptions import ValidationError

from gear.editing.figures import FigureField
from sessions.setups.models import Revision
from sessions.setups.placement.forms import PlacementForm


def field(unit="cm"):
    return FigureField(unit=unit, required=False, max_digits=6, decimal_places=1)


@pytest.mark.parametrize(
    ("typed", "unit", "figure"),
    [
        ("20", "cm", "20"),
        ("20,5", "cm", "20.5"),
        ("20.5 cm", "cm", "20.5"),
        ("0,2 m", "cm", "20"),
        ("0.2m", "cm", "20"),
        ("205 mm", "cm", "20.5"),
        ("+ 3", "cm", "3"),
        ("− 12,5", "cm", "-12.5"),
        ("15°", "degrees", "15"),
        ("-15 deg", "degrees", "-15"),
        ("94 dB", "dB SPL", "94"),
        ("94 dB SPL", "dB SPL", "94"),
        ("10 ms", "ms", "10"),
        ("0,01 s", "ms", "10"),
        ("12,5 %", "%", "12.5"),
        ("", "cm", None),
        ("  ", "cm", None),
    ],
)
def test_figure_is_understood_as_it_is_typed(typed, unit, figure):
    assert field(unit).clean(typed) == (None if figure is None else Decimal(figure))


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1,250", "What the comma in “1,250” means is not clear"),
        ("20 Hz", "Enter a number"),
        ("far", "Enter a number"),
        ("20.55", "no more than 1 decimal place"),
        ("9" * 400, "no more than 6 digits"),
    ],
)
def test_what_is_wrong_is_named(typed, said):
    with pytest.raises(ValidationError, match=said):
        field().clean(typed)


def test_forms_of_figures_keep_their_limits_and_messages():
    form = PlacementForm({"distance_cm": "-1", "angle_deg": "1,500", "height_cm": "1,5 m"})

    form.is_valid()

    assert isinstance(form.fields["height_cm"].widget, forms.TextInput)
    assert form.cleaned_data["height_cm"] == 150
    assert "comma" in form.errors["angle_deg"][0]
    assert "distance_cm" in form.errors
    assert form["angle_deg"].value() == "1,500"  # nothing typed is lost


def test_stored_figure_is_shown_as_it_stands_and_has_not_changed():
    distance = Revision._meta.get_field("source_distance_cm").formfield(form_class=FigureField)

    assert distance.has_changed(Decimal("20.0"), "20,0 ") is False
    assert distance.has_changed(Decimal("20.0"), "21") is True
