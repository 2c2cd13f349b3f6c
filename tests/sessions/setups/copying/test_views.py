from html import unescape

import pytest
from django.urls import reverse

from gear.equipment.models import UnitState
from sessions.setups.models import Setup, Stage
from tests.factories import (
    ChainFactory,
    HeadphoneLineFactory,
    HeadphoneMixFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RevisionFactory,
    SetupFactory,
    UnitFactory,
)
from tests.sessions.setups.building import microphone, preamplifier, revision_of

pytestmark = pytest.mark.django_db


def page(name, thing):
    return reverse(f"setups:{name}", args=[thing.pk])


def test_setups_of_the_same_project_are_offered_first(client_of, engineer):
    session = RecordingSessionFactory(project__name="Neap and Spring")
    other = ChainFactory(setup__session__project__name="A first one").setup
    own = ChainFactory(setup__session__project=session.project).setup
    SetupFactory(session=session)  # without a chain: nothing to start from

    form = client_of(engineer).get(page("setup_copy", session)).context["form"]

    _, *groups = form.fields["setup"].choices
    assert [(group, [pk for pk, _ in setups]) for group, setups in groups] == [
        ("Neap and Spring, this project", [own.pk]),
        ("A first one", [other.pk]),
    ]


def test_copy_says_which_units_cannot_be_counted_on(client_of, engineer):
    reserved, free, taken = preamplifier(), preamplifier(), preamplifier()
    broken = UnitFactory(model=microphone().model, state=UnitState.ON_THE_BENCH)
    setup = revision_of(broken, reserved, free, taken).chain.setup
    session = RecordingSessionFactory(project=setup.session.project)
    ReservationFactory(session=session, room=None, unit=reserved)
    ReservationFactory(room=None, unit=taken, session__title="Readings")

    answer = client_of(engineer).post(
        page("setup_copy", session), {"setup": setup.pk, "name": ""}, follow=True
    )

    said = [str(message) for message in answer.context["messages"]]
    assert Setup.objects.get(session=session).name == setup.name
    assert said[0] == f"{setup} saved as a copy. {setup} is unchanged."
    assert sorted(said[1:]) == sorted(
        [
            f"{broken} is {broken.standing}.",
            f"{free} is not reserved for this session.",
            next(each for each in said if "is taken by “Readings”" in each),
        ]
    )


def test_name_that_the_session_has_already_is_refused(client_of, engineer):
    setup = ChainFactory(setup__name="Morning").setup

    answer = client_of(engineer).post(
        page("setup_copy", setup.session), {"setup": setup.pk, "name": ""}
    )

    assert "a setup called “Morning” already" in unescape(answer.content.decode())
    assert Setup.objects.count() == 1


def test_setup_of_another_project_is_not_there_for_a_mix_engineer(client_of, mix_engineer):
    """They may not copy at all."""
    session = RecordingSessionFactory()

    assert client_of(mix_engineer).get(page("setup_copy", session)).status_code == 403


@pytest.mark.parametrize("count", [1, 3])
def test_offer_costs_the_same_queries(client_of, engineer, django_assert_num_queries, count):
    session = RecordingSessionFactory()
    for _ in range(count):
        ChainFactory()
    client = client_of(engineer)

    with django_assert_num_queries(4):
        client.get(page("setup_copy", session))


def test_stage_is_copied_into_another_chain_of_the_session(client_of, engineer):
    revision = revision_of(preamplifier())
    stage = revision.stages.get()
    other = RevisionFactory(chain=ChainFactory(setup=revision.chain.setup, position=2))
    elsewhere = RevisionFactory().chain

    client = client_of(engineer)
    form = client.get(page("stage_copy", stage)).context["form"]
    answer = client.post(page("stage_copy", stage), {"chain": other.chain_id})

    assert list(form.fields["chain"].queryset) == [other.chain]
    assert elsewhere not in form.fields["chain"].queryset
    assert answer.url == other.chain.get_absolute_url()
    assert Stage.objects.get(revision=other).unit == stage.unit


def test_headphone_mix_is_copied_for_another_listener_into_another_setup(client_of, engineer):
    """Hesper's mix: the alto's chain and the click. The alto stands in the afternoon's setup too."""
    chain = ChainFactory(source="Alto voice", track="Ld Vox")
    mix = HeadphoneMixFactory(setup=chain.setup, name="Hesper", output="3")
    HeadphoneLineFactory(mix=mix, chain=chain, source="", level="0 dB")
    HeadphoneLineFactory(mix=mix, chain=None, source="Click", level="low")
    session = chain.setup.session
    later = SetupFactory(session=RecordingSessionFactory(project=session.project))
    same = ChainFactory(setup=later, source="Alto voice", track="Ld Vox")

    client_of(engineer).post(page("mix_copy", mix), {"setup": later.pk, "name": "Kester"})

    copy = later.headphone_mixes.get()
    assert (copy.name, copy.output, list(copy.listeners.all())) == ("Kester", "3", [])
    assert [(line.chain, line.source, line.level) for line in copy.lines.all()] == [
        (same, "", "0 dB"),
        (None, "Click", "low"),
    ]


def test_mix_of_a_name_that_is_there_is_refused_beside_it(client_of, engineer):
    mix = HeadphoneMixFactory(name="Hesper")

    answer = client_of(engineer).post(
        page("mix_copy", mix), {"setup": mix.setup_id, "name": "Hesper"}
    )

    assert list(answer.context["form"].errors) == ["name"]
    assert mix.setup.headphone_mixes.count() == 1
