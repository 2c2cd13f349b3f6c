"""A unit by itself, over the years, and beside another of its model."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from gear.audio.proving.result import HERTZ
from gear.equipment.models import Category
from sessions.recall.proving.models import Depth, Measurement
from tests.factories import GearModelFactory, MeasurementFactory, UnitFactory, result_of
from tests.factories.setups import RevisionFactory
from tests.sessions.setups.building import preamplifier, stage

pytestmark = pytest.mark.django_db

TICKED = dict.fromkeys(["monitors", "headphones", "phantom", "path", "loop"], "on")
TYPED = {
    "depth": "full",
    "channel": "2",
    "note": "Gain 40, all flat",
    "rate_hz": "48000",
    "full_scale_dbu": "18",
    "fed_dbu": "-30",
    "pad_db": "40",
}


@pytest.fixture
def unit():
    return UnitFactory(model=GearModelFactory(channels=2, max_input_dbu=22), asset_tag="PRE-07")


def measured(
    unit, *, years_ago=0, channel=1, level=0.0, top=0.0, note="Gain 40, all flat", **facts
):
    """Flat, with so much more from 8 kHz up."""
    response = tuple(level + (top if hertz > 8000 else 0) for hertz in HERTZ)
    at = timezone.now() - timedelta(days=365 * years_ago)
    result = result_of(gain_db=2 + level, response_db=response).as_json()
    facts = {"result": result} | facts
    return MeasurementFactory(
        revision=None,
        unit=unit,
        channel=channel,
        note=note,
        cautions_at=at,
        measured_at=at,
        **facts,
    )


def page(name, unit, query=""):
    return reverse(f"proving:{name}", args=[unit.pk]) + query


def test_unit_is_measured_by_itself(client_of, assistant, unit):
    client_of(assistant).post(page("measure_unit", unit), TYPED | TICKED)

    made = Measurement.objects.get()
    assert (made.unit, made.channel, made.depth) == (unit, 2, Depth.FULL)
    assert made.note == "Gain 40, all flat"
    assert made.file_plan.ceiling_dbfs == -8


def test_unit_is_measured_by_three_tones(client_of, assistant, unit):
    client_of(assistant).post(page("measure_unit", unit), TYPED | TICKED | {"depth": "tones"})

    assert [tone.hertz for tone in Measurement.objects.get().tones_read] == [80, 1000, 10_000]


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"note": ""}, "Say how it is set"),
        ({"fed_dbu": "+23", "pad_db": "0"}, "clips at +22.0 dBu here"),
        ({"pad_db": "60"}, "the output gives no more than −42.0 dBu"),
        ({"channel": "3"}, "Select a valid choice"),
        ({"phantom": ""}, "See to this first, then tick it."),
    ],
)
def test_what_is_wrong_is_said_beside_the_field(client_of, assistant, unit, wrong, said):
    answer = client_of(assistant).post(page("measure_unit", unit), TYPED | TICKED | wrong)

    assert answer.status_code == 422
    assert said in answer.text
    assert not Measurement.objects.exists()


def test_next_time_it_is_proposed_as_it_was_measured(client_of, assistant, unit):
    measured(unit, channel=2)

    form = client_of(assistant).get(page("measure_unit", unit)).context["form"]

    assert form["note"].value() == "Gain 40, all flat"
    assert form["channel"].value() == 2


def test_unit_in_a_chain_with_48_v_on_is_said(client_of, assistant):
    revision = RevisionFactory()
    made = stage(revision, preamplifier(), settings={"gain": 42, "p48": 1})

    shown = client_of(assistant).get(page("measure_unit", made.unit)).text

    assert "Logged as on" in shown
    assert "It is set up in" in shown


@pytest.mark.parametrize(
    "category", [Category.MICROPHONE, Category.SUPPLY, Category.HEADPHONES, Category.AMPLIFIER]
)
def test_nothing_is_played_into_what_it_can_damage(client_of, assistant, category):
    unit = UnitFactory(model=GearModelFactory(category=category))
    web = client_of(assistant)

    web.post(page("measure_unit", unit), TYPED | TICKED | {"channel": ""})

    assert not Measurement.objects.exists()
    assert "nothing is played into it" in web.get(page("measure_unit", unit)).text
    for shown in (web.get(unit.get_absolute_url()), web.get(page("unit", unit))):
        assert page("measure_unit", unit) not in shown.text


def test_years_are_told_against_the_first_that_was_set_so(client_of, engineer, unit):
    """Two years on, channel 1 has lost 2 dB above 8 kHz; channel 2 was never measured twice."""
    measured(unit, years_ago=2)
    measured(unit, years_ago=1, note="Gain 20")
    measured(unit, channel=2)
    measured(unit, top=-2.0)

    shown = client_of(engineer).get(page("unit", unit)).text

    assert shown.count("Above 8") == 2  # in the list, and beside the drawing
    assert "Over the years" in shown


def test_years_cost_the_same_whatever_was_measured(client_of, engineer, unit):
    client = client_of(engineer)
    counts = []
    for more in (1, 3):
        for _ in range(more):
            measured(unit, top=-0.3)
        with CaptureQueriesContext(
            connection,
        ) as queries:
            client.get(page("unit", unit))
        counts.append(len(queries))
    assert counts[0] == counts[1]


def test_two_units_of_a_model_are_matched(client_of, engineer, unit):
    other = UnitFactory(model=unit.model)
    first, second = measured(unit), measured(other, level=1.0, top=0.25)

    query = f"?first={first.pk}&second={second.pk}"
    shown = client_of(engineer).get(page("pair", unit, query)).text

    assert "Matched within 0.3 dB from 20 Hz to 20 kHz" in shown
    assert "levels 1 dB apart" in shown
    assert "1 dB high." in shown


def test_pair_that_was_not_set_alike_is_told_of(client_of, engineer, unit):
    first, second = measured(unit), measured(unit, channel=2, note="Gain 20")

    shown = client_of(engineer).get(page("pair", unit, f"?first={first.pk}&second={second.pk}"))

    assert "The two were not set alike" in shown.text


def test_full_one_is_held_against_three_tones(client_of, engineer, unit):
    first = measured(unit)
    second = measured(unit, of_tones=True, result=None)

    shown = client_of(engineer).get(page("pair", unit, f"?first={first.pk}&second={second.pk}"))

    assert "Agrees within 0.5 dB." in shown.text


def test_one_of_another_model_and_the_same_twice_are_refused(client_of, engineer, unit):
    client = client_of(engineer)
    first, stranger = measured(unit), measured(UnitFactory())

    other = client.get(page("pair", unit, f"?first={first.pk}&second={stranger.pk}"))
    same = client.get(page("pair", unit, f"?first={first.pk}&second={first.pk}"))

    assert (other.status_code, same.status_code) == (422, 422)
    assert "Choose one of the list." in other.text
    assert "That is the first: choose another one." in same.text


def test_units_own_page_has_the_newest(client_of, engineer, unit):
    measured(unit, years_ago=1)
    newest = measured(unit)

    shown = client_of(engineer).get(unit.get_absolute_url()).text

    assert newest.get_absolute_url() in shown
    assert page("unit", unit) in shown


def test_mix_engineer_has_no_page_of_it(client_of, mix_engineer, unit):
    measured(unit)
    client = client_of(mix_engineer)

    assert client.get(page("unit", unit)).status_code == 403
    assert page("unit", unit) not in client.get(unit.get_absolute_url()).text
