"""A copy asks for no 48 V where today's record says that it can damage something: over all pairs of what
a model was when it was set up, and what its record says today. P48 by IEC 61938."""

from itertools import product

import pytest
from django.urls import reverse

from gear.equipment.models import Phantom
from sessions.setups.copying.actions import copy_setup, copy_stage
from tests.factories import RecordingSessionFactory, RevisionFactory, SetupFactory
from tests.sessions.setups.building import loaded, microphone, preamplifier, stage

pytestmark = pytest.mark.django_db


def set_up(need, p48, setup=None, pre=None, channel=None):
    """[mic] -- [pre, 48 V as it was]"""
    revision = RevisionFactory(
        chain__setup=setup or SetupFactory(), chain__track=f"{need} {channel}"
    )
    stage(revision, microphone(phantom=need))
    stage(revision, pre or preamplifier(), channel=channel, settings={"p48": p48, "gain": 30})
    return loaded(revision)


@pytest.mark.parametrize(
    ("then", "today", "p48"), list(product(Phantom.values, Phantom.values, (0, 1)))
)
def test_setup_of_yesterday(client_of, engineer, then, today, p48):
    before = set_up(then, p48)
    model = before.stages.get(position=1).unit.model
    model.phantom = today
    model.save()
    later = RecordingSessionFactory(project=before.chain.setup.session.project)

    copy = copy_setup(before.chain.setup, to=later, name="Today", by=engineer).copy

    pre = copy.chains.get().newest_revision().stages.get(position=2)
    is_left_out = p48 and today == Phantom.HARMFUL
    assert pre.settings == ({"gain": 30} if is_left_out else {"gain": 30, "p48": p48})
    assert pre.not_yet_set == sorted(pre.settings)
    page = client_of(engineer).get(copy.chains.get().get_absolute_url()).content.decode()
    if today == Phantom.HARMFUL:
        assert "then switch" not in page
    assert ("can be damaged by phantom power" in page) == bool(is_left_out)


def test_switch_that_serves_a_ribbon_of_another_chain(engineer):
    """[condenser] -- [pre/1 48 V on]      [since then ribbon] -- [pre/2]: one switch for four"""
    setup, pre = SetupFactory(), preamplifier(channels=8, phantom_bank=4)
    set_up(Phantom.NEEDED, 1, setup, pre, 1)
    other = set_up(Phantom.HARMLESS, 0, setup, pre, 2)
    model = other.stages.get(position=1).unit.model
    model.phantom = Phantom.HARMFUL
    model.save()

    copy = copy_setup(setup, to=RecordingSessionFactory(), name="Today", by=engineer).copy

    switches = [
        chain.newest_revision().stages.get(position=2).settings.get("p48")
        for chain in copy.chains.order_by("position")
    ]
    assert switches == [None, 0]


@pytest.mark.parametrize("need", Phantom.values)
def test_unit_that_is_copied_into_another_chain(engineer, need):
    setup = SetupFactory()
    amplified = set_up(Phantom.NEEDED, 1, setup)
    into = RevisionFactory(chain__setup=setup)
    stage(into, microphone(phantom=need))

    copy = copy_stage(amplified.stages.get(position=2), to=into.chain, by=engineer).copy

    assert ("p48" in copy.settings) == (need != Phantom.HARMFUL)


def test_page_says_what_it_did_not_copy(client_of, engineer):
    before = set_up(Phantom.NEEDED, 1)
    model = before.stages.get(position=1).unit.model
    model.phantom = Phantom.HARMFUL
    model.save()
    later = RecordingSessionFactory(project=before.chain.setup.session.project)
    copies = (
        ("setups:setup_copy", later.pk, {"setup": before.chain.setup_id, "name": "Today"}),
        (
            "setups:chain_copy",
            before.chain_id,
            {"setup": SetupFactory(session=later).pk, "source": "Voice", "track": "Ld 2"},
        ),
    )
    for name, key, typed in copies:
        page = client_of(engineer).post(reverse(name, args=[key]), typed, follow=True)

        assert "Not carried over: 48 V on at" in page.text
        assert "can damage" in page.text


def test_other_chains_of_the_setup_stay_as_they_were_recorded(engineer):
    """A take was recorded while 48 V was copied and not yet set: a copy beside it changes nothing."""
    setup = SetupFactory()
    recorded = set_up(Phantom.HARMFUL, 1, setup)
    pre = recorded.stages.get(position=2)
    pre.not_yet_set = ["p48"]
    pre.save()
    into = RevisionFactory(chain__setup=setup)

    copy_stage(recorded.stages.get(position=1), to=into.chain, by=engineer)

    pre.refresh_from_db()
    assert (pre.settings["p48"], pre.not_yet_set) == (1, ["p48"])


def test_copied_power_that_harms_is_not_confirmed_at_one_press(client_of, engineer):
    revision = set_up(Phantom.HARMFUL, 1)
    pre = revision.stages.get(position=2)
    pre.not_yet_set = ["p48"]
    pre.save()

    page = client_of(engineer).post(
        reverse("editor:confirm", args=[revision.chain_id]),
        {"stage": f"{pre.unit_id}"},
        follow=True,
    )

    pre.refresh_from_db()
    assert pre.not_yet_set == ["p48"]
    assert "Nothing was saved. 48 V from here can damage" in page.text
