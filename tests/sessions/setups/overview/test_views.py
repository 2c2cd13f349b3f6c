from html import unescape

import pytest
from django.urls import reverse

from sessions.setups.chains.actions import fix_revision, open_revision
from sessions.setups.models.chains import ARROW
from tests.factories import (
    FaultFactory,
    PlacementFactory,
    ProjectFactory,
    RecordingSessionFactory,
    ReservationFactory,
    SetupFactory,
    TakeFactory,
)
from tests.sessions.recall.recorded import record
from tests.sessions.setups.building import (
    compressor,
    microphone,
    preamplifier,
    revision_of,
    stage,
)

pytestmark = pytest.mark.django_db


def page(name, thing):
    return reverse(f"setups:{name}", args=[thing.pk])


def test_session_page_shows_each_chain_as_a_path_in_words(client_of, engineer):
    setup = SetupFactory(buffer_samples=1024)
    mic, pre = microphone(), preamplifier()
    revision = revision_of(mic, pre, setup=setup)

    html = client_of(engineer).get(page("session", setup.session)).content.decode()

    assert ARROW.join(("Alto voice", f"{mic}", f"{pre}", "Ld Vox")).replace("&", "&amp;") in html
    assert "0 of 2 controls logged, 0 %" in html
    assert f"Revision {revision.number}" in html
    assert "3 warnings" in html
    assert "heard as an echo" in html


def test_session_page_without_setups_says_what_one_is(client_of, engineer):
    session = RecordingSessionFactory()

    html = client_of(engineer).get(page("session", session)).content.decode()

    assert "No setup yet" in html
    assert page("setup_create", session) in html


def test_session_page_offers_a_mix_engineer_no_door_that_is_shut(
    client_of, mix_engineer, mixed_project
):
    setup = SetupFactory(session__project=mixed_project)
    revision = revision_of(preamplifier(), setup=setup)

    setups = client_of(mix_engineer).get(page("session", setup.session)).content.decode()
    chain = client_of(mix_engineer).get(page("chain", revision.chain)).content.decode()

    assert page("chain", revision.chain) in setups
    assert page("setup_edit", setup) not in setups
    assert reverse("editor:chain", args=[revision.chain_id]) not in chain
    assert page("stage_edit", revision.stages.get()) not in chain


@pytest.mark.parametrize("name", ["session", "chain", "revision"])
def test_pages_of_a_project_that_is_not_theirs_are_not_there(
    client_of, mix_engineer, mixed_project, name
):
    revision = revision_of(preamplifier(), setup=SetupFactory(session__project=ProjectFactory()))
    thing = {"session": revision.chain.setup.session, "chain": revision.chain}.get(name, revision)

    assert client_of(mix_engineer).get(page(name, thing)).status_code == 404


@pytest.mark.parametrize("count", [1, 3])
def test_session_page_costs_the_same_queries(client_of, engineer, django_assert_num_queries, count):
    setup = SetupFactory()
    for _ in range(count):
        revision_of(microphone(), preamplifier(), setup=setup)
        SetupFactory(session=setup.session)
    client = client_of(engineer)

    with django_assert_num_queries(18):
        response = client.get(page("session", setup.session))

    assert response.content.decode().count("Alto voice →\u00a0Skerrow") == count


@pytest.mark.parametrize("count", [1, 3])
def test_chain_page_costs_the_same_queries(client_of, engineer, django_assert_num_queries, count):
    revision = revision_of(*[preamplifier() for _ in range(count)])
    PlacementFactory(revision=revision)
    client = client_of(engineer)

    with django_assert_num_queries(14):
        response = client.get(page("chain", revision.chain))

    drawn = response.content.decode().count('<div class="control"><svg')
    assert drawn == 2 * count  # gain and 48 V of each


def test_chain_page_shows_every_control_with_value_and_clock(client_of, engineer):
    revision = revision_of(microphone())
    stage(revision, preamplifier(), settings={"gain": 40})

    html = unescape(client_of(engineer).get(page("chain", revision.chain)).content.decode())

    assert "<title>Gain: 40 dB, 1:40</title>" in html  # at 50 degrees
    assert "<title>48 V: not logged</title>" in html
    assert "1 of 2 controls logged, 50 %" in html


def test_chain_page_says_monitor_only_by_word_and_line(client_of, engineer):
    revision = revision_of(microphone())
    stage(revision, compressor(), path="monitor")

    html = client_of(engineer).get(page("chain", revision.chain)).content.decode()

    assert '<article class="unit brief monitor-only" id="stage-2">' in html
    assert "monitor only</span>" in html


def test_chain_page_says_which_takes_fixed_it_and_what_comes_next(client_of, engineer):
    revision = revision_of(preamplifier())
    take = TakeFactory(number=7)
    record(take, revision)

    html = client_of(engineer).get(page("chain", revision.chain)).content.decode()

    assert f"{take.song}, take 7 uses it." in html
    assert "The next change makes revision 2" in html


def test_chain_page_shows_the_newest_and_links_the_older(client_of, engineer):
    old = revision_of(preamplifier())
    fix_revision(old)
    new = open_revision(old.chain, by=engineer)
    client = client_of(engineer)

    newest = client.get(page("chain", old.chain)).content.decode()
    older = client.get(page("revision", old)).content.decode()

    assert page("stage_edit", new.stages.get()) in newest
    assert page("revision", old) in newest
    assert "an earlier revision of the chain" in older
    assert page("stage_edit", old.stages.get()) not in older


def test_chain_page_warns_with_reason_and_way_out(client_of, engineer):
    html = (
        client_of(engineer)
        .get(page("chain", revision_of(microphone(), compressor()).chain))
        .content.decode()
    )

    assert "Warning, unit 2:" in html
    assert "goes into a line input" in html
    assert "Put a preamplifier between them" in html


@pytest.mark.parametrize("count", [1, 3])
def test_unit_page_lists_where_it_was_used_in_the_same_queries(
    client_of, engineer, django_assert_num_queries, count
):
    pre = preamplifier()
    revisions = [revision_of(pre) for _ in range(count)]
    for rank in range(1, count + 1):
        ReservationFactory(unit=pre, room=None, rank=rank)
        FaultFactory(unit=pre, reported_by=engineer)
    client = client_of(engineer)

    with django_assert_num_queries(9):
        html = client.get(page("for_unit", pre)).content.decode()

    assert all(page("revision", revision) in html for revision in revisions)
    assert html.count("1 Jun 2026, ") == 2 * count  # reserved from, until
    assert html.count("1 Jun 2026") == 3 * count


def test_unit_page_hides_projects_that_are_not_theirs(client_of, mix_engineer, mixed_project):
    pre = preamplifier()
    mine = revision_of(pre, setup=SetupFactory(session__project=mixed_project))
    other = revision_of(pre)

    html = client_of(mix_engineer).get(page("for_unit", pre)).content.decode()

    assert page("revision", mine) in html
    assert page("revision", other) not in html
