"""One unit, or one channel of a unit, chosen at two places of a rebuild at a time."""

import pytest
from django.urls import reverse

from gear.equipment.models import Category
from sessions.recall.rebuilds.actions import choose_unit
from sessions.recall.rebuilds.checklist import checklist_of
from tests.factories import PartFactory, StageFactory, TakeFactory, UnitFactory
from tests.sessions.recall.rebuilds.vocal import preamplifier_model, started
from tests.sessions.recall.recorded import chain_of, record

pytestmark = pytest.mark.django_db


def recorded(*sources):
    """A song of which each source went into a preamplifier of its own."""
    part = PartFactory()
    for number, source in enumerate(sources):
        take = TakeFactory(part=PartFactory(song=part.song), circled=True)
        revision = chain_of(
            take.parts.get(), session=take.session, source=source, track=f"Track {number}"
        )
        model = preamplifier_model(name=f"Stile {number}")
        StageFactory(revision=revision, unit=UnitFactory(model=model), panel=model.current_panel())
        record(take, revision)
    return revision


@pytest.fixture
def rebuild(engineer):
    return started(recorded("Cornet", "Horn"), engineer)


def choose(rebuild, unit, by, *channels):
    for step, channel in zip(rebuild.steps.all(), channels, strict=True):
        choose_unit(step, unit=unit, seen=step.version, by=by)
        rebuild.steps.filter(pk=step.pk).update(channel=channel)


def said(rebuild):
    return [words for line in checklist_of(rebuild).stages for words in line.also_in]


def test_each_in_its_own_place_is_nothing_to_say(rebuild):
    assert said(rebuild) == []


def test_unit_in_two_chains_is_said_at_both_and_on_both_pages(client_of, engineer, rebuild):
    unit = UnitFactory(model=preamplifier_model(name="Ford 2"), asset_tag="P-09")
    choose(rebuild, unit, engineer, None, None)

    first, second = said(rebuild)
    assert first.startswith(f"{unit} stands as unit ")
    assert "of “Horn →" in first
    assert "of “Cornet →" in second
    for page in (rebuild.get_absolute_url(), reverse("rebuild:units", args=[rebuild.pk])):
        assert client_of(engineer).get(page).content.decode().count("Chosen twice:") == 2


@pytest.mark.parametrize(
    ("channels", "count"), [((3, 3), 2), ((3, 4), 0), ((None, 4), 0), ((None, None), 0)]
)
def test_of_a_unit_of_eight_channels_each_is_one(engineer, rebuild, channels, count):
    unit = UnitFactory(model=preamplifier_model(name="Ford 8", channels=8), asset_tag="P-08")
    choose(rebuild, unit, engineer, *channels)

    assert len(said(rebuild)) == count
    if count:
        assert "channel 3 of" in said(rebuild)[0]


def test_what_one_signal_goes_through_before_it_divides_is_once(engineer):
    """[the same splitter] --> Track 0, and --> Track 1"""
    rebuild = started(recorded("Cornet", "Cornet"), engineer)
    unit = UnitFactory(model=preamplifier_model(name="Ford 2"))
    choose(rebuild, unit, engineer, None, None)
    assert len(said(rebuild)) == 2

    type(unit.model).objects.filter(pk=unit.model_id).update(category=Category.SPLITTER)

    assert said(rebuild) == []
