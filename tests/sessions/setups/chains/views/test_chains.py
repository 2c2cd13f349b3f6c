import pytest
from django.urls import reverse

from sessions.setups.chains.actions import Seen, change_chain, fix_revision
from sessions.setups.models import Chain
from tests.factories import PartFactory, RecordingSessionFactory, RevisionFactory, SetupFactory
from tests.sessions.setups.building import microphone, preamplifier, revision_of, units_in

pytestmark = pytest.mark.django_db


def page(name, thing):
    return reverse(f"setups:{name}", args=[thing.pk])


def typed(**facts):
    return {"source": "Alto voice", "track": "Ld Vox", "destination_input": ""} | facts


def test_chain_is_made_with_its_part(client_of, assistant):
    setup = SetupFactory()
    part = PartFactory(song__project=setup.session.project)

    response = client_of(assistant).post(
        page("chain_create", setup), typed(parts=[part.pk], destination_input="Input 3")
    )

    chain = Chain.objects.get()
    assert response.url == page("chain", chain)
    assert (chain.parts.get(), chain.destination_input) == (part, "Input 3")
    assert chain.revisions.get().created_by == assistant


def test_chain_takes_no_part_of_another_project(client_of, engineer):
    setup, part = SetupFactory(), PartFactory()

    response = client_of(engineer).post(page("chain_create", setup), typed(parts=[part.pk]))

    assert "parts" in response.context["form"].errors
    assert not Chain.objects.exists()


def test_chain_without_source_is_refused_with_what_was_typed(client_of, engineer):
    response = client_of(engineer).post(
        page("chain_create", SetupFactory()), typed(source="", track="Harm 1")
    )

    assert response.context["form"].errors.keys() == {"source"}
    assert "Harm 1" in response.content.decode()


def test_chain_is_edited_before_any_take(client_of, engineer):
    revision = RevisionFactory()

    response = client_of(engineer).post(
        page("chain_edit", revision.chain), typed(track="Lead", seen=str(Seen.of(revision)))
    )

    assert response.url == page("chain", revision.chain)
    assert Chain.objects.get().track == "Lead"


@pytest.mark.parametrize("method", ["get", "post"])
def test_chain_that_was_recorded_keeps_its_words(client_of, engineer, method):
    revision = revision_of(microphone())
    fix_revision(revision)

    response = getattr(client_of(engineer), method)(
        page("chain_edit", revision.chain),
        typed(track="Lead", seen=str(Seen.of(revision))),
        follow=True,
    )

    assert "Copy the chain to use others" in response.content.decode()
    assert Chain.objects.get().track == "Ld Vox"


def test_chain_edited_by_two_shows_the_second_both_versions(client_of, engineer, manager):
    revision = RevisionFactory()
    seen = Seen.of(revision)
    change_chain(revision.chain, seen=seen, by=manager, track="Lead")
    client, address = client_of(engineer), page("chain_edit", revision.chain)

    second = client.post(address, typed(track="Vox 1", seen=str(seen)))

    assert second.status_code == 409
    assert second.context["rows"] == [("Track", "Lead", "Vox 1")]
    assert Chain.objects.get().track == "Lead"
    client.post(address, typed(track="Vox 1", seen=second.context["form"]["seen"].value()))
    assert Chain.objects.get().track == "Vox 1"


def test_chain_is_copied_for_the_next_part_and_stays_as_it_was(client_of, engineer):
    mic, pre = microphone(), preamplifier()
    revision = revision_of(mic, pre)
    setup = revision.chain.setup
    part = PartFactory(song__project=setup.session.project)

    response = client_of(engineer).post(
        page("chain_copy", revision.chain),
        typed(setup=setup.pk, source="Tenor voice", track="Harm 1", parts=[part.pk]),
    )

    copy = Chain.objects.get(source__name="Tenor voice")
    assert response.url == page("chain", copy)
    assert units_in(copy.revisions.get()) == [mic, pre]
    assert (Chain.objects.get(pk=revision.chain_id).source.name, revision.chain.parts.count()) == (
        "Alto voice",
        0,
    )


def test_chain_is_copied_to_another_day_of_the_project_only(client_of, engineer):
    revision = RevisionFactory()
    project = revision.chain.setup.session.project
    next_day = SetupFactory(session=RecordingSessionFactory(project=project))
    elsewhere = SetupFactory()
    client, address = client_of(engineer), page("chain_copy", revision.chain)

    client.post(address, typed(setup=next_day.pk))
    refused = client.post(address, typed(setup=elsewhere.pk))

    assert next_day.chains.count() == 1
    assert refused.context["form"].errors.keys() == {"setup"}
    assert elsewhere.chains.count() == 0
