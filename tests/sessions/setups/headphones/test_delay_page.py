import pytest
from django.urls import reverse

from tests.factories import PlacementFactory, SetupFactory
from tests.sessions.setups.building import microphone, revision_of

pytestmark = pytest.mark.django_db


def address(setup, limit=None):
    query = "" if limit is None else f"?limit_ms={limit}"
    return reverse("setups:delay", args=[setup.pk]) + query


def test_page_says_what_is_heard_and_how_late(client_of, assistant):
    setup = SetupFactory(buffer_samples=256, session__project__sample_rate=48_000)
    PlacementFactory(revision=revision_of(microphone(), setup=setup), distance_cm=20)

    html = client_of(assistant).get(address(setup)).content.decode()

    assert "11.2 ms in the headphones is what sessions commonly track at" in html
    assert "not known, so not counted" in html
    assert "20 cm, 0.6 ms" in html


@pytest.mark.parametrize(
    ("limit", "said"),
    [
        ("10", "128 samples is the largest that keeps to 10 ms"),
        ("0.5", "Even the smallest buffer takes longer than 0.5 ms"),
        ("soon", "Write a delay in ms, such as 10."),
        ("-1", "A delay is 0 ms or more."),
    ],
)
def test_largest_buffer_under_a_limit(client_of, engineer, limit, said):
    setup = SetupFactory(session__project__sample_rate=48_000)

    assert said in client_of(engineer).get(address(setup, limit)).content.decode()


@pytest.mark.parametrize("chains", [1, 3])
def test_number_of_queries_does_not_grow_with_the_chains(
    client_of, engineer, django_assert_num_queries, chains
):
    client, setup = client_of(engineer), SetupFactory()
    for _ in range(chains):
        revision_of(microphone(), setup=setup)

    with django_assert_num_queries(11):
        client.get(address(setup))
