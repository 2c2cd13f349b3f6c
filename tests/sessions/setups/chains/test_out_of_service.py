"""What is on the bench can't be patched, and the pages and sheets that used it say so today."""

import pytest
from django.urls import reverse

from gear.equipment.models import UnitState
from sessions.recall.sheet.contents import recall_sheet
from sessions.setups.chains.actions import OutOfService, Seen, add_stage, fix_revision
from sessions.setups.copying.actions import copy_stage
from sessions.setups.warnings.service import out_of_service
from tests.factories import ChainFactory, RevisionFactory, TakeFactory
from tests.sessions.recall.recorded import record
from tests.sessions.setups.building import loaded, preamplifier, revision_of, units_in

pytestmark = pytest.mark.django_db


def page(name, thing):
    return reverse(f"setups:{name}", args=[thing.pk])


@pytest.fixture
def revision():
    """A chain through a unit that went to the bench afterwards."""
    revision = revision_of(preamplifier())
    unit = revision.stages.first().unit
    unit.state = UnitState.ON_THE_BENCH
    unit.save()
    return loaded(revision)


@pytest.fixture
def broken(revision):
    return revision.stages.first().unit


def test_unit_is_refused_by_the_action_as_it_stands_now(revision, engineer):
    unit = preamplifier()
    type(unit).objects.filter(pk=unit.pk).update(state=UnitState.RETIRED)

    with pytest.raises(OutOfService, match="is retired since "):
        add_stage(
            revision.chain,
            seen=Seen.of(revision),
            by=engineer,
            unit=unit,
            panel=None,
            path="printed",
            settings={},
        )

    assert len(units_in(revision)) == 1


def test_unit_is_refused_beside_the_field(client_of, engineer, broken):
    chain = RevisionFactory().chain
    address = reverse("editor:add", args=[chain.pk])

    answer = client_of(engineer).post(address, {"unit": broken.asset_tag})

    [problem] = answer.context["add"].errors["unit"]
    assert problem.startswith(f"{broken.asset_tag} is on the bench since ")
    assert not chain.newest_revision().stages.exists()


def test_copy_of_a_chain_says_what_is_out_of_service(client_of, engineer, revision, broken):
    chain = revision.chain
    facts = {"setup": chain.setup_id, "source": "Bass voice", "track": "Bs Vox"}

    answer = client_of(engineer).post(page("chain_copy", chain), facts, follow=True)

    assert broken.why_not() in [str(message) for message in answer.context["messages"]]


def test_copy_of_a_stage_is_refused(client_of, engineer, revision, broken):
    to = RevisionFactory(chain=ChainFactory(setup=revision.chain.setup)).chain
    stage = revision.stages.first()

    with pytest.raises(OutOfService):
        copy_stage(stage, to=to, by=engineer)
    answer = client_of(engineer).post(page("stage_copy", stage), {"chain": to.pk})

    assert answer.context["form"].non_field_errors() == [broken.why_not()]


def test_warning_says_it_and_the_way_out(revision, broken):
    [warning] = out_of_service(revision)

    assert warning.reason == f"{broken} is {broken.standing}."
    assert "Choose another unit" in warning.advice
    assert list(out_of_service(revision_of(preamplifier()))) == []


def test_pages_and_sheets_say_it_next_to_the_stage(client_of, engineer, revision, broken):
    session = revision.chain.setup.session
    take = TakeFactory(part__song__project=session.project, session=session, circled=True)
    fix_revision(revision)
    record(take, revision)
    client = client_of(engineer)

    for address in (
        page("session", session),
        page("chain", revision.chain),
        page("revision", revision),
        reverse("reports:session", args=[session.pk]),
        reverse("recall:song", args=[take.song.pk]),
    ):
        assert broken.standing in client.get(address).content.decode(), address

    [chain] = recall_sheet(take.song).chains
    assert not chain.stages[0].stage.unit.is_in_service
