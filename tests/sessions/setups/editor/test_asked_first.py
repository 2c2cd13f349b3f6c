"""That 48 V is on where it can damage a unit, or a supply switched while it is patched, is asked
before it is saved, and saved when it is said twice: a fact may be logged, advice never goes against
our own record."""

import pytest
from django.urls import reverse

from gear.equipment.models import Phantom
from gear.panels.models import Meaning
from sessions.setups.chains.actions import Seen
from sessions.setups.editor.keys import stage_keys
from tests.factories import PanelFactory, PatchPointFactory, RevisionFactory, SetupFactory
from tests.sessions.setups.building import (
    loaded,
    microphone,
    preamplifier,
    stage,
    supply,
    switch,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def up():
    """[condenser] -- [pre/1]      [ribbon] -- [pre/2]: one phantom switch for both"""
    setup, pre = SetupFactory(), preamplifier(channels=8, phantom_bank=8)
    found = []
    for channel, need in enumerate((Phantom.NEEDED, Phantom.HARMFUL), 1):
        revision = RevisionFactory(chain__setup=setup)
        stage(revision, microphone(phantom=need))
        stage(revision, pre, channel=channel)
        found.append(loaded(revision))
    return found


def send(client, revision, value, **more):
    key = list(stage_keys(revision.stages.all()))[1]
    return client.post(
        reverse("editor:field", args=[revision.chain_id]),
        {"stage": key, "name": "control-p48", "value": value, "was": "", **more},
    )


def logged(revision):
    return loaded(revision).stages.all()[1].settings.get("p48")


def test_field_asks_and_saves_when_it_is_said_twice(client_of, engineer, up):
    condenser, ribbon = up
    client = client_of(engineer)

    asked = send(client, condenser, "on")

    assert (asked.status_code, asked.json()["asks"]) == (422, True)
    assert str(ribbon.stages.all()[0].unit) in asked.json()["problem"]
    assert logged(condenser) is None
    assert send(client, condenser, "on", is_sure="1").status_code == 200
    assert logged(condenser) == 1


def test_off_is_saved_without_asking(client_of, engineer, up):
    assert send(client_of(engineer), up[0], "off").status_code == 200


def test_setting_page_asks_beside_the_control(client_of, engineer, up):
    condenser, _ = up
    pre = condenser.stages.all()[1]
    typed = {"path": "printed", "channel": 1, "control-p48": "on", "seen": str(Seen.of(condenser))}
    client, address = client_of(engineer), reverse("setups:stage_edit", args=[pre.pk])

    page = client.post(address, typed)

    assert list(page.context["form"].errors) == ["control-p48"]
    assert '<input type="hidden" name="is_sure" value="1">' in page.text
    assert logged(condenser) is None
    assert client.post(address, typed | {"is_sure": "1"}).status_code == 302
    assert logged(condenser) == 1


@pytest.mark.parametrize(
    ("jack", "was", "value", "asks"),
    [(True, 0, "on", True), (True, 1, "off", True), (True, None, "off", False)]
    + [(True, 1, "on", False), (False, 0, "on", False)],
)
def test_supply_that_is_switched_while_patched_is_asked(
    client_of, engineer, jack, was, value, asks
):
    """[valve microphone] -- [supply: at a wall line]: its mains switched, or just logged as it is"""
    unit, revision = supply(), RevisionFactory()
    switch(PanelFactory(model=unit.model), key="mains", label="Mains", meaning=Meaning.POWER)
    out = PatchPointFactory() if jack else None
    settings = {} if was is None else {"mains": was}
    stage(revision, microphone(own_supply=True))
    stage(revision, unit, patch_out=out, settings=settings)

    asked = client_of(engineer).post(
        reverse("editor:field", args=[revision.chain_id]),
        {"stage": f"{unit.pk}", "name": "control-mains", "value": value}
        | {"was": {None: "", 0: "off", 1: "on"}[was]},
    )

    assert asked.json().get("asks", False) == asks
