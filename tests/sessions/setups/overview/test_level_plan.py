"""[mic] -- [pre]: a pair whose sides differ in gain and reading, a group, and a chain that stands alone."""

import pytest
from django.urls import reverse

from sessions.setups.models.groups import Arrangement, ChainGroup, Seat
from tests.factories import ChainFactory, RevisionFactory, SetupFactory
from tests.sessions.setups.building import microphone, preamplifier, stage

pytestmark = pytest.mark.django_db


def line(setup, gain, *, read=None, **facts):
    revision = RevisionFactory(chain=ChainFactory(setup=setup, **facts), source_spl_db=100)
    stage(revision, microphone(sensitivity_mv_pa=20))
    settings = {} if gain is None else {"gain": gain}
    stage(revision, preamplifier(), settings=settings, reading_out_dbu=read)
    return revision.chain


def told(client, setup):
    return client.get(reverse("setups:level_plan", args=[setup.pk])).context["sections"]


@pytest.fixture
def setup():
    return SetupFactory()


@pytest.fixture
def pair(setup):
    arrangement = Arrangement.SPACED
    return ChainGroup.objects.create(setup=setup, name="Overheads", arrangement=arrangement)


def test_sides_of_a_pair_are_told_with_how_far_they_are_apart(client_of, engineer, setup, pair):
    left = line(setup, 30, read=-2, group=pair, seat=Seat.LEFT)
    right = line(setup, 31.5, read=-2.5, group=pair, seat=Seat.RIGHT)
    drums = ChainGroup.objects.create(setup=setup, name="Drums")
    kick, alone = line(setup, 20, group=drums), line(setup, 20)

    sections = told(client_of(engineer), setup)

    assert [
        (section.facts and section.facts.name, [each.revision.chain for each in section.chains])
        for section in sections
    ] == [(None, [alone]), ("Overheads", [left, right]), ("Drums", [kick])]
    assert [section.sides for section in sections] == [
        [],
        [
            "By the logged controls: right 1.5 dB above left.",
            "As read after unit 2: right 0.5 dB below left.",
        ],
        [],
    ]


def test_gain_that_was_not_logged_is_not_guessed_for_a_pair(client_of, engineer, setup, pair):
    line(setup, 30, group=pair, seat=Seat.LEFT)
    line(setup, None, group=pair, seat=Seat.RIGHT)

    [section] = told(client_of(engineer), setup)

    assert section.sides == ["How far apart its sides are is not known."]
    assert [each.converter_text == "not known" for each in section.chains] == [False, True]


@pytest.mark.parametrize("count", [1, 3])
def test_level_plan_costs_the_same_queries(
    client_of, engineer, django_assert_num_queries, setup, count
):
    for _ in range(count):
        line(setup, 30)
    client = client_of(engineer)

    with django_assert_num_queries(12):
        [section] = told(client, setup)

    assert len(section.chains) == count
