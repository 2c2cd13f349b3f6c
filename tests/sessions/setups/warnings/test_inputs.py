"""The recorder's inputs that chains name; what a number alone means is a house rule, no source."""

import pytest
from django.utils import timezone

from gear.equipment.models import Category
from sessions.setups.warnings.inputs import input_of_another_channel, input_twice
from tests.factories import GearModelFactory, RevisionFactory, SetupFactory, UnitFactory
from tests.sessions.setups.building import loaded, microphone, revision_of, stage

pytestmark = pytest.mark.django_db


@pytest.fixture
def converter():
    """`converter()`: one of eight channels."""
    return lambda: UnitFactory(model=GearModelFactory(category=Category.CONVERTER, channels=8))


def into(unit, channel, destination_input, **facts):
    revision = RevisionFactory(chain__destination_input=destination_input, **facts)
    stage(revision, microphone())
    stage(revision, unit, channel=channel)
    return loaded(revision)


def test_input_named_by_two_chains_of_the_setup():
    """Input 1 <- alto      input  1 <- tenor"""
    setup = SetupFactory()
    alto = revision_of(setup=setup, destination_input="Input 1")
    tenor = revision_of(setup=setup, destination_input="input  1", track="Harm 1")
    other = revision_of(setup=setup, destination_input="Input 2")
    unnamed = [revision_of(setup=setup) for _ in range(2)]

    [warning] = input_twice(setup, [alto, tenor, other, *unnamed])

    assert warning.reason == (
        "Input 1 is the input of “Alto voice →\u00a0Ld Vox” and “Alto voice →\u00a0Harm 1”."
    )


def test_input_named_in_two_setups_counts_while_both_are_up():
    setup = SetupFactory()
    other = SetupFactory(session=setup.session)
    revisions = [revision_of(setup=each, destination_input="Input 1") for each in (setup, other)]

    [warning] = input_twice(setup, revisions)

    assert "whose setups are set up together" in warning.reason
    other.struck_at = timezone.now()
    other.save()
    assert list(input_twice(setup, [loaded(revision) for revision in revisions])) == []


def test_number_alone_is_an_input_of_the_converter_that_the_chain_goes_through(converter):
    """[mic] -- [AD-1] 1      [mic] -- [AD-1] Input 1      [mic] -- [AD-2] 1"""
    setup, one, other = SetupFactory(), converter(), converter()
    revisions = [
        into(one, 1, "1", chain__setup=setup),
        into(one, 2, "Input 1", chain__setup=setup, chain__track="Harm 1"),
        into(other, 1, "1", chain__setup=setup, chain__track="Harm 2"),
    ]

    [warning] = input_twice(setup, revisions)

    assert warning.reason.startswith(f"Input 1 of {one.asset_tag} is the input of ")
    assert "Harm 1" in warning.reason
    assert "Harm 2" not in warning.reason


def test_number_alone_that_is_another_channel_of_the_converter(converter):
    """[mic] -- [AD, channel 3] 1"""
    unit = converter()

    [warning] = input_of_another_channel(into(unit, 3, "1"))

    assert (warning.severity, warning.stage.unit) == ("caution", unit)


@pytest.mark.parametrize("name", ["3", "03", "Input 1", "Console bus", ""])
def test_input_that_may_well_be_where_the_converter_leads(converter, name):
    """[mic] -- [AD, channel 3] 3      and what the recorder calls otherwise"""
    assert list(input_of_another_channel(into(converter(), 3, name))) == []
