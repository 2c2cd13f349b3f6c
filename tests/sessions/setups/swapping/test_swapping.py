"""Another unit in the place of one: what stays, what can't be carried over, what is asked before."""

import pytest
from django.urls import reverse

from gear.equipment.models import Category, Phantom, Transducer
from gear.panels.models import Kind, Meaning
from gear.patchbay.models import Side
from sessions.setups.chains.actions import OutOfService, Seen, fix_revision
from sessions.setups.models import Chain, ChainGroup, Revision
from sessions.setups.swapping.actions import (
    NoMicrophone,
    copy_with_microphone,
    set_up_again,
    swap_unit,
)
from sessions.setups.swapping.harm import asks_before_setting_up, in_session_of
from tests.factories import (
    ControlFactory,
    PanelFactory,
    PartFactory,
    PatchPointFactory,
    PlacementFactory,
)
from tests.sessions.setups.building import (
    loaded,
    microphone,
    preamplifier,
    revision_of,
    supply,
    switch,
    units_in,
)

pytestmark = pytest.mark.django_db


def with_pad(unit, *, key="pad", **facts):
    """A microphone with a pad, 0 or 10 dB, by whatever key."""
    panel = unit.model.panels.first() or PanelFactory(model=unit.model)
    marks = [{"value": 0, "angle": 0, "label": "0"}, {"value": 10, "angle": 1, "label": "10"}]
    facts = {"kind": Kind.SWITCH, "unit": "dB", "meaning": Meaning.PAD, "marks": marks} | facts
    ControlFactory(panel=panel, key=key, label="Pad", position=panel.controls.count() + 1, **facts)
    return unit


@pytest.fixture
def vocal() -> Revision:
    """A condenser at line 5 of the room, its pad in; 48 V on at the preamplifier; recorded."""
    mic = with_pad(microphone(phantom=Phantom.NEEDED))
    switch(mic.model.panels.get(), key="pattern", meaning=Meaning.PATTERN, position=2)
    revision = revision_of(mic, preamplifier(), track="Ld Vox")
    first, second = revision.stages.all()
    first.patch_out = PatchPointFactory(label="Floor 5", side=Side.SEND)
    first.settings = {"pad": 10, "pattern": 1}
    first.save()
    second.settings = {"gain": 36, "p48": 1}
    second.save()
    PlacementFactory(revision=revision, distance_cm=22, pattern="Cardioid")
    return loaded(revision)


def first_of(revision):
    return loaded(revision).stages.all()[0]


def swap(stage, unit, *, by):
    return swap_unit(stage, unit=unit, seen=Seen.of(stage.revision), by=by)


def ribbon():
    return microphone(transducer=Transducer.RIBBON, phantom=Phantom.HARMFUL)


def test_microphone_takes_over_place_line_and_the_settings_that_both_have(vocal, engineer):
    fix_revision(vocal)
    other = with_pad(microphone(phantom=Phantom.NEEDED), key="attenuation")
    line = first_of(vocal).patch_out

    swapped = swap(first_of(vocal), other, by=engineer)

    stage = first_of(vocal.chain.newest_revision())
    assert (stage.unit, stage.position, stage.patch_out) == (other, 1, line)
    assert (stage.settings, stage.not_yet_set) == ({"attenuation": 10}, ["attenuation"])
    assert len(swapped.lost) == 2  # its pattern, as a switch and as the placement says it
    newest = vocal.chain.newest_revision()
    assert (newest.number, newest.placement.distance_cm, newest.placement.pattern) == (2, 22, "")
    assert newest.stages.get(position=2).settings == {"gain": 36, "p48": 1}
    assert units_in(vocal)[0] != other  # what takes were recorded through stays


def test_forty_eight_volts_are_not_carried_over_to_what_they_can_damage(vocal, engineer):
    swapped = swap(first_of(vocal), ribbon(), by=engineer)

    second = vocal.chain.newest_revision().stages.get(position=2)
    assert second.settings == {"gain": 36}
    assert "can damage" in swapped.lost[-1]


def test_page_asks_before_it_saves_what_does_harm(client_of, engineer, vocal):
    mic, stage = ribbon(), first_of(vocal)
    client = client_of(engineer)
    address = reverse("setups:stage_swap", args=[stage.pk])
    typed = {"unit": mic.pk, "seen": str(Seen.of(vocal))}

    asked = client.post(address, typed)
    assert asked.status_code == 200
    assert len(asked.context["form"].asks) == 1
    assert units_in(vocal)[0] == stage.unit

    sure = {"is_sure": asked.context["form"]["is_sure"].value()}
    assert f'name="is_sure" value="{sure["is_sure"]}"' in asked.text
    other = client.post(address, typed | sure | {"unit": ribbon().pk})
    assert len(other.context["form"].asks) == 1  # what was said twice was another
    assert client.post(address, typed | sure).status_code == 302
    assert units_in(vocal)[0] == mic


def test_supply_comes_with_its_microphone_and_the_line_is_the_place_s(vocal, engineer):
    line = first_of(vocal).patch_out
    own = supply()
    valve = microphone(transducer=Transducer.VALVE, own_supply=True)
    valve.supply = own
    valve.save()

    swap(first_of(vocal), valve, by=engineer)
    newest = vocal.chain.newest_revision()
    first, second, third = newest.stages.all()
    assert (first.unit, second.unit, third.position) == (valve, own, 3)
    assert (first.patch_out, second.patch_out) == (None, line)

    plain = microphone()
    swap(first_of(newest), plain, by=engineer)
    newest = vocal.chain.newest_revision()
    assert units_in(newest)[:2] == [plain, third.unit]
    assert first_of(newest).patch_out == line


def test_preamplifier_is_patched_at_its_own_jacks(vocal, engineer):
    """The jack that was wired to the unit before is not the new one's."""
    second = vocal.stages.get(position=2)
    second.patch_in = PatchPointFactory(label="Pre 1 in", side=Side.RETURN, unit=second.unit)
    second.save()
    other = preamplifier()
    own = PatchPointFactory(label="Other in", side=Side.RETURN, unit=other)

    swap(loaded(vocal).stages.all()[1], other, by=engineer)

    stage = vocal.chain.newest_revision().stages.get(position=2)
    assert (stage.unit, stage.patch_in) == (other, own)
    assert stage.settings == {"gain": 36, "p48": 1}


def test_new_preamplifier_does_not_take_over_48_v_that_would_reach_a_ribbon(engineer):
    revision = revision_of(ribbon(), preamplifier())
    revision.stages.filter(position=2).update(settings={"gain": 40, "p48": 1})

    swap(loaded(revision).stages.all()[1], preamplifier(), by=engineer)

    stage = revision.chain.newest_revision().stages.get(position=2)
    assert stage.settings == {"gain": 40}


def test_unit_on_the_bench_takes_nobody_s_place(vocal, engineer):
    mic = microphone()
    mic.state = "on_bench"
    mic.save()

    with pytest.raises(OutOfService):
        swap(first_of(vocal), mic, by=engineer)


def test_pins_stay_on_what_takes_over_the_control(vocal, engineer):
    stage, other = first_of(vocal), with_pad(microphone(), key="attenuation")
    Chain.objects.filter(pk=vocal.chain_id).update(
        pinned=[[f"{stage.unit_id}", "pad"], [f"{stage.unit_id}", "pattern"]]
    )

    swap(first_of(vocal), other, by=engineer)

    assert Chain.objects.get(pk=vocal.chain_id).pinned == [[f"{other.pk}", "attenuation"]]


def copy_of(revision, mic, *, by, **facts):
    facts = {"track": "Harmony", "source": "Alto voice", "parts": [], "microphone": mic} | facts
    return copy_with_microphone(revision.chain, by=by, **facts)


def test_copy_with_another_microphone_takes_the_place_of_the_chain(vocal, engineer):
    fix_revision(vocal)
    part = PartFactory(song__project=vocal.chain.setup.session.project)
    mic = microphone(phantom=Phantom.NEEDED)

    copy = copy_of(vocal, mic, by=engineer, parts=[part]).revision.chain

    before = Chain.objects.get(pk=vocal.chain_id)
    assert (before.is_up, copy.is_up) == (False, True)
    assert list(copy.parts.all()) == [part]
    newest = copy.newest_revision()
    assert [stage.unit for stage in newest.stages.all()] == [mic, units_in(vocal)[1]]
    assert newest.not_yet_set == 0  # the preamplifier stands as it is set
    assert first_of(newest).patch_out == first_of(vocal).patch_out


def test_chain_that_is_set_up_again_finds_what_was_turned_meanwhile(vocal, engineer):
    """The first microphone again, behind a gain that was turned for the other."""
    copy = copy_of(vocal, ribbon(), by=engineer).revision.chain
    copy.newest_revision().stages.filter(position=2).update(settings={"gain": 50, "p48": 0})

    replaced = set_up_again(Chain.objects.get(pk=vocal.chain_id), by=engineer)

    assert replaced == [copy]
    assert not Chain.objects.get(pk=copy.pk).is_up
    second = vocal.chain.newest_revision().stages.get(position=2)
    assert (second.settings, second.not_yet_set) == ({"gain": 36, "p48": 1}, ["gain", "p48"])


def test_page_asks_before_a_ribbon_comes_back_to_an_input_with_48_v_on(client_of, engineer, vocal):
    first = revision_of(ribbon(), units_in(vocal)[1], setup=vocal.chain.setup, track="First")
    chain = first.chain
    chain.struck_at = "2026-11-28T10:00Z"
    chain.save()
    assert len(asks_before_setting_up(chain, in_session_of(chain))) == 1
    client, address = client_of(engineer), reverse("setups:chain_set_up", args=[chain.pk])

    assert client.post(address).status_code == 200
    assert not Chain.objects.get(pk=chain.pk).is_up
    assert client.post(address, {"is_sure": "1"}).status_code == 302
    assert Chain.objects.get(pk=chain.pk).is_up
    assert not Chain.objects.get(pk=vocal.chain_id).is_up


def test_chain_without_a_microphone_and_half_a_pair_get_no_other(vocal, engineer):
    with pytest.raises(NoMicrophone):
        copy_of(revision_of(preamplifier()), microphone(), by=engineer)

    half = revision_of(microphone(), track="OH L")
    group = ChainGroup.objects.create(setup=half.chain.setup, name="OH", arrangement="spaced")
    half.chain.group = group
    half.chain.save()
    with pytest.raises(NoMicrophone):
        copy_of(half, microphone(), by=engineer)


@pytest.mark.parametrize("units", [1, 4])
def test_swap_page_costs_the_same_at_any_stock(
    client_of, engineer, vocal, units, django_assert_num_queries
):
    for _ in range(units):
        with_pad(microphone())
    client, stage = client_of(engineer), first_of(vocal)

    with django_assert_num_queries(16):
        page = client.get(reverse("setups:stage_swap", args=[stage.pk]))

    assert len(page.context["lines"]) == units
    assert stage.unit.model.category == Category.MICROPHONE
