"""A unit that 48 V can damage is asked about before it is added, or copied, to where our record has
48 V on; and one through which 48 V would come to what stands there. P48 by IEC 61938."""

import pytest
from django.urls import reverse

from gear.equipment.models import Phantom
from tests.factories import RevisionFactory, SetupFactory
from tests.sessions.setups.building import loaded, microphone, preamplifier, stage

pytestmark = pytest.mark.django_db


@pytest.fixture
def pre():
    """One phantom switch for its eight inputs."""
    return preamplifier(channels=8, phantom_bank=8)


@pytest.fixture
def on(pre):
    """[condenser] -- [pre/1, 48 V on]"""
    revision = RevisionFactory(chain__setup=SetupFactory())
    stage(revision, microphone(phantom=Phantom.NEEDED))
    stage(revision, pre, channel=1, settings={"p48": 1})
    return loaded(revision)


def of_ribbon(setup):
    """[ribbon]"""
    revision = RevisionFactory(chain__setup=setup)
    stage(revision, microphone(phantom=Phantom.HARMFUL))
    return loaded(revision)


def units(revision):
    return [each.unit for each in loaded(revision).stages.all()]


def add(client, revision, unit, **more):
    address = reverse("editor:add", args=[revision.chain_id])
    return client.post(address, {"unit": str(unit), "before": "", **more})


@pytest.mark.parametrize("need", Phantom.values)
def test_added_unit_that_it_would_harm_is_asked_about(client_of, engineer, on, need):
    unit, client = microphone(phantom=need), client_of(engineer)

    answer = add(client, on, unit)

    if need != Phantom.HARMFUL:
        assert answer.status_code == 302
        return
    assert answer.status_code == 422
    form = answer.context["add"]
    assert len(form.asks) == 1
    assert "It is off: add" in answer.text
    assert unit not in units(on)
    another = microphone(phantom=need)
    assert add(client, on, another, is_sure=form["is_sure"].value()).status_code == 422
    assert add(client, on, unit, is_sure=form["is_sure"].value()).status_code == 302
    assert unit in units(on)


def test_input_of_a_switch_that_is_on_is_asked_about_for_the_ribbon_there(
    client_of, engineer, on, pre
):
    """[ribbon] <- [pre/2], whose switch the condenser's chain has on"""
    ribbon, client = of_ribbon(on.chain.setup), client_of(engineer)

    asked = add(client, ribbon, pre)

    assert asked.status_code == 422
    assert str(units(ribbon)[0]) in asked.context["add"].asks[0]
    assert add(client, ribbon, preamplifier()).status_code == 302


def test_copy_of_a_unit_is_asked_about_alike(client_of, engineer, on, pre):
    ribbon, client = of_ribbon(on.chain.setup), client_of(engineer)
    address = reverse("setups:stage_copy", args=[ribbon.stages.all()[0].pk])

    asked = client.post(address, {"chain": on.chain_id})

    sure = asked.context["form"]["is_sure"].value()
    assert len(asked.context["form"].asks) == 1
    assert f'name="is_sure" value="{sure}"' in asked.text
    assert "can damage" in asked.text
    assert len(units(on)) == 2
    assert client.post(address, {"chain": on.chain_id, "is_sure": sure}).status_code == 302
    assert len(units(on)) == 3
