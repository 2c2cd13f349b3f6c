"""The next part: stay, another of the session's chains, or a copy with another microphone."""

import pytest
from django.urls import reverse

from gear.equipment.models import Phantom, Transducer
from sessions.setups.chains.actions import fix_revision
from sessions.setups.models import Chain
from sessions.takes.in_force import revisions_in_force
from tests.factories import PartFactory, PersonFactory, TakeFactory
from tests.sessions.setups.building import microphone, preamplifier, revision_of, stage

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead():
    return PartFactory(name="Lead")


@pytest.fixture
def harmony(lead):
    return PartFactory(song=lead.song, name="Harmony", performer=PersonFactory(name="Hesper"))


@pytest.fixture
def vocal(lead):
    """Recorded, with 48 V on for its condenser."""
    revision = revision_of(
        microphone(phantom=Phantom.NEEDED),
        preamplifier(),
        track="Ld Vox",
        setup__session__project=lead.song.project,
    )
    revision.chain.parts.add(lead)
    revision.stages.filter(position=2).update(settings={"gain": 36, "p48": 1})
    fix_revision(revision)
    return revision.chain


@pytest.fixture
def page(client_of, engineer, lead, vocal):
    """GET and POST of the page, as it stands while the lead is recorded."""
    query = f"?song={lead.song_id}&setup={vocal.setup_id}&part={lead.pk}"
    address = reverse("takes:next_part", args=[vocal.setup.session_id]) + query
    client = client_of(engineer)

    class Page:
        def get(self, more=""):
            return client.get(address + more)

        def choose(self, part, **typed):
            typed = {"part": f"{part.pk}.{part.version}", "chain": "stay"} | typed
            return client.post(address, typed)

    return Page()


def through(setup, part):
    return [each.chain.track for each in revisions_in_force(setup, [part])]


def test_part_that_is_not_recorded_is_offered_first(page, lead, harmony):
    form = page.get().context["form"]
    assert form["part"].value() == f"{harmony.pk}.{harmony.version}"

    tapped = page.get(f"&next={lead.pk}").context["form"]
    assert tapped["part"].value() == f"{lead.pk}.{lead.version}"


def test_chain_stays_and_carries_the_next_part_too(page, vocal, harmony):
    answer = page.choose(harmony)

    session = vocal.setup.session_id
    assert answer.url == (
        f"/sessions/{session}/takes/?song={harmony.song_id}&setup={vocal.setup_id}&part={harmony.pk}"
    )
    assert through(vocal.setup, harmony) == ["Ld Vox"]
    assert vocal.revisions.count() == 1


def test_another_chain_of_the_session_carries_it(page, vocal, harmony, lead):
    other = revision_of(microphone(), setup=vocal.setup, track="BV").chain
    other.parts.add(PartFactory(song=lead.song))

    page.choose(harmony, chain=other.pk)

    assert through(vocal.setup, harmony) == ["BV"]
    assert through(vocal.setup, lead) == ["Ld Vox"]


def test_performer_is_changed_only_where_one_is_chosen(page, harmony):
    page.choose(harmony)
    harmony.refresh_from_db()
    assert harmony.performer.name == "Hesper"

    tamsin = PersonFactory(name="Tamsin")
    page.choose(harmony, performer=tamsin.pk)
    harmony.refresh_from_db()
    assert harmony.performer == tamsin

    harmony.version -= 1
    page_of_before = page.choose(harmony, performer=PersonFactory().pk)
    assert list(page_of_before.context["form"].errors) == ["performer"]
    harmony.refresh_from_db()
    assert harmony.performer == tamsin


def test_copy_with_another_microphone_takes_the_chain_s_place(page, vocal, harmony, lead):
    mic = microphone(phantom=Phantom.NEEDED)

    page.choose(harmony, microphone=mic.pk)

    copy = Chain.objects.exclude(pk=vocal.pk).get()
    assert (copy.track, list(copy.parts.all())) == ("Harmony", [harmony])
    assert through(vocal.setup, harmony) == ["Harmony"]
    assert through(vocal.setup, lead) == []  # its microphone is off the line

    page.choose(lead, chain=vocal.pk)
    assert through(vocal.setup, lead) == ["Ld Vox"]
    assert through(vocal.setup, harmony) == []


def test_harm_is_asked_before_anything_is_saved(page, vocal, harmony):
    ribbon = microphone(transducer=Transducer.RIBBON, phantom=Phantom.HARMFUL)

    asked = page.choose(harmony, microphone=ribbon.pk)
    assert asked.status_code == 200
    assert len(asked.context["form"].asks) == 1
    assert list(Chain.objects.all()) == [vocal]

    sure = asked.context["form"]["is_sure"].value()
    assert page.choose(harmony, microphone=ribbon.pk, is_sure=sure).status_code == 302
    copy = Chain.objects.exclude(pk=vocal.pk).get()
    assert copy.newest_revision().stages.get(position=2).settings == {"gain": 36}


def test_nothing_is_plugged_while_a_take_rolls(page, vocal, harmony, lead):
    TakeFactory(part=lead, session=vocal.setup.session, ended_at=None)

    refused = page.choose(harmony, microphone=microphone().pk)

    assert refused.status_code == 200
    assert list(Chain.objects.all()) == [vocal]


@pytest.mark.parametrize("rows", [1, 4])
def test_page_costs_the_same_at_any_number_of_parts_and_chains(
    page, vocal, lead, rows, django_assert_num_queries
):
    for _ in range(rows):
        PartFactory(song=lead.song)
        chain = revision_of(setup=vocal.setup, track="More").chain
        chain.parts.add(lead)
        stage(chain.newest_revision(), microphone())

    with django_assert_num_queries(14):
        shown = page.get()

    assert len(shown.context["form"].lines) == rows + 1
