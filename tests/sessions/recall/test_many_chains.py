"""A band's day: pages of 24 chains, two by two in pairs, ask the database no more than pages of 2."""

import pytest
from django.urls import reverse

from sessions.setups.models import Arrangement, ChainGroup, Seat, Stage
from tests.factories import (
    PartFactory,
    PlacementFactory,
    RevisionFactory,
    SetupFactory,
    TakeFactory,
)
from tests.sessions.recall.recorded import record
from tests.sessions.setups.building import microphone, preamplifier, stage

pytestmark = pytest.mark.django_db

SEATS = [Seat.LEFT, Seat.RIGHT]


@pytest.fixture(params=[2, 24])
def day(request):
    """[mic] -- [pre/1]  [mic] -- [pre/2]  …: newest revisions of one setup, each of a part of its own"""
    setup, pre = SetupFactory(), preamplifier(channels=24, phantom_bank=8)
    part = PartFactory(song__project=setup.session.project)
    revisions = []
    for number in range(request.param):
        if number % 2 == 0:
            group = ChainGroup.objects.create(
                setup=setup, name=f"Pair {number}", arrangement=Arrangement.SPACED
            )
        revision = RevisionFactory(
            chain__setup=setup,
            chain__position=number + 1,
            chain__group=group,
            chain__seat=SEATS[number % 2],
        )
        revision.chain.parts.add(part if number == 0 else PartFactory(song=part.song))
        stage(revision, microphone())
        stage(revision, pre, channel=number + 1)
        PlacementFactory(revision=revision)
        revisions.append(revision)
    return revisions


@pytest.mark.parametrize(
    ("name", "queries"),
    [("editor:setup", 13), ("setups:session", 18), ("setups:input_list", 19)],
)
def test_pages_of_a_setup_cost_the_same_queries(
    client_of, engineer, django_assert_num_queries, day, name, queries
):
    setup, client = day[0].chain.setup, client_of(engineer)
    address = reverse(name, args=[setup.session_id if name == "setups:session" else setup.pk])

    with django_assert_num_queries(queries):
        page = client.get(address)

    assert all(str(revision.chain.source) in page.text for revision in day)


def test_recall_page_costs_the_same_queries(client_of, engineer, django_assert_num_queries, day):
    [song] = {part.song for revision in day for part in revision.chain.parts.all()}
    parts = song.parts.all()
    take = TakeFactory(part=parts[0], session=day[0].chain.setup.session, circled=True)
    record(take, *day)
    client = client_of(engineer)

    with django_assert_num_queries(20):
        page = client.get(reverse("recall:song", args=[song.pk]))

    assert page.status_code == 200


def test_saving_asks_once_for_all_chains_and_writes_one_row_more_for_each(
    client_of, engineer, django_assert_num_queries, day
):
    ChainGroup.objects.update(is_matched=False)
    setup, client = day[0].chain.setup, client_of(engineer)
    address = reverse("editor:setup", args=[setup.pk])
    as_it_stands = {
        name: value
        for line in client.get(address).context["lines"]
        for name, value in [
            (line.seen_name, str(line.seen)),
            *((f"{each.form.prefix}-path", "printed") for each in line.stages),
            *((f"{each.form.prefix}-channel", each.stage.channel or "") for each in line.stages),
        ]
    }
    switches = {
        f"{line.stages[1].form.prefix}-control-p48": "on"
        for line in client.get(address).context["lines"]
    }

    with django_assert_num_queries(23):
        client.post(address, as_it_stands)
    with django_assert_num_queries(25 + len(day)):
        client.post(address, as_it_stands | switches)

    assert Stage.objects.filter(settings={"p48": 1}).count() == len(day)
