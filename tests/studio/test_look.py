import pytest
from django import forms
from django.template import Context, Template
from lxml import html

from gear.equipment.models import FaultState, UnitState
from sessions.bookings.models import Status
from sessions.setups.models import Path
from sessions.takes.models import Mark
from studio.templatetags import look


class PlacementForm(forms.Form):
    distance = forms.FloatField(help_text="From the capsule.", min_value=0)
    note = forms.CharField(required=False)
    pattern = forms.ChoiceField(
        choices=[("c", "Cardioid"), ("o", "Omni")], widget=forms.RadioSelect
    )
    hung = forms.BooleanField(required=False, label="Hung upside down")

    units = {"distance": "cm"}


def draw(source: str, **context):
    return html.fragment_fromstring(
        Template("{% load look %}" + source).render(Context(context)), create_parent="div"
    )


def words(element) -> str:
    return " ".join(element.text_content().split())


@pytest.mark.parametrize("state", [*Status, *Path, *UnitState, *FaultState])
def test_badge_knows_every_state_by_value_and_by_word(state):
    unknown = look.icon("circle-dot")

    assert look.badge(state.value) == look.badge(state.label)
    assert unknown in look.badge("unheard of")
    assert unknown not in look.badge(state.value)


def test_badge_shows_a_hidden_sign_beside_the_word():
    badge = draw("{% badge 'under_way' %}")

    assert words(badge) == "under way"
    assert badge.xpath(".//svg/@aria-hidden") == ["true"]


@pytest.mark.parametrize("mark", list(Mark))
def test_mark_shows_letters_of_its_own_for_every_mark(mark):
    codes = {look.mark(other)["code"] for other in Mark}

    assert look.mark(mark)["code"] != "?"
    assert len(codes) == len(Mark)


def test_icon_alone_speaks_its_label():
    icon = draw("{% icon 'lock' label='Fixed' %}").find("svg")

    assert (icon.get("role"), icon.get("aria-label")) == ("img", "Fixed")
    assert icon.get("aria-hidden") is None


def test_reading_over_its_limit_says_so_in_words():
    within = draw("{% reading 'True peak' -2.5 -12 0 'dBTP' -1 %}")
    over = draw("{% reading 'True peak' 0.3 -12 0 'dBTP' -1 '1.3 dB over' %}")

    assert "−2.5 dBTP" in words(within)
    assert not within.find_class("over")
    assert "1.3 dB over" in words(over)
    assert over.find_class("over")


@pytest.mark.parametrize(("value", "width"), [(-20, "0.0"), (-6, "50.0"), (4, "100.0")])
def test_reading_bar_stays_within_its_scale(value, width):
    bar = draw("{% reading 'Level' value -12 0 %}", value=value).find_class("reading-fill")[0]

    assert bar.get("width") == width


def test_reading_without_a_value_says_no_reading():
    assert "not measured" in words(draw("{% reading 'Level' value -12 0 %}", value=None))


def test_field_names_its_need_its_unit_and_its_help():
    field = draw("{{ form.distance.as_field_group }}", form=PlacementForm())
    number = field.find(".//input")

    assert words(field.find(".//label")) == "Distance required"
    assert words(field.find_class("unit")[0]) == "cm"
    assert number.get("aria-describedby") == "id_distance_helptext"
    assert field.get_element_by_id("id_distance_helptext").text == "From the capsule."


def test_field_that_may_stay_empty_says_optional():
    assert "optional" in words(draw("{{ form.note.as_field_group }}", form=PlacementForm()))


def test_field_with_an_error_keeps_what_was_typed_and_points_to_the_error():
    field = draw("{{ form.distance.as_field_group }}", form=PlacementForm({"distance": "near"}))
    number = field.find(".//input")

    assert number.get("value") == "near"
    assert number.get("aria-invalid") == "true"
    assert "id_distance_error" in number.get("aria-describedby").split()
    assert words(field.get_element_by_id("id_distance_error")) == "To fix: Enter a number."


def test_tick_field_has_one_label_around_box_and_words():
    label = draw("{{ form.hung.as_field_group }}", form=PlacementForm()).find_class("choice")[0]

    assert words(label) == "Hung upside down"
    assert label.find("input").get("id") == label.get("for")


def test_form_with_errors_lists_links_that_lead_to_its_fields():
    form = draw("{{ form }}", form=PlacementForm({"distance": "-1"}))
    links = form.xpath("//div[contains(@class, 'error-summary')]//a/@href")

    assert links == ["#id_distance", "#id_pattern"]
    for link in links:
        assert form.get_element_by_id(link.removeprefix("#")) is not None


def test_form_without_errors_has_no_error_list():
    assert not draw("{{ form }}", form=PlacementForm()).find_class("error-summary")


def test_figure_has_a_true_minus():
    assert look.figure(-18.5) == "−18.5"
    assert look.figure(None) == ""
