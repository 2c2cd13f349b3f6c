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

    assert "11.2 ms in the headphones is workable for many singers" in html
    assert "workable for many, a second sound to some" in html
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


def use(setup):
    return reverse("setups:use_buffer", args=[setup.pk])


def test_buffer_of_a_line_is_used_at_a_press_and_pressed_twice_once(client_of, assistant):
    setup = SetupFactory(buffer_samples=256)
    client = client_of(assistant)
    sent = {"samples": "64", "seen": "1", "press": "b0ffe7"}

    answers = [client.post(use(setup), sent, follow=True) for _ in range(2)]

    setup.refresh_from_db()
    assert (setup.buffer_samples, setup.version) == (64, 2)
    assert "buffer of 64 samples. Set the workstation to it as well." in answers[0].text
    assert setup.history.first().history_user == assistant


def test_press_of_the_same_buffer_by_another_person_changes_nothing(client_of, assistant, engineer):
    setup = SetupFactory(buffer_samples=256)

    for user in (assistant, engineer):
        client_of(user).post(use(setup), {"samples": "64", "seen": "1"})

    setup.refresh_from_db()
    assert (setup.buffer_samples, setup.version) == (64, 2)


def test_who_presses_after_somebody_else_is_told(client_of, assistant, engineer):
    setup = SetupFactory(buffer_samples=256)
    client_of(assistant).post(use(setup), {"samples": "64", "seen": "1"})

    page = client_of(engineer).post(use(setup), {"samples": "128", "seen": "1"}, follow=True).text

    setup.refresh_from_db()
    assert setup.buffer_samples == 64
    assert "it has a buffer of 64 samples: check it, and press again" in page


@pytest.mark.parametrize("samples", ["", "33", "-64", "many"])
def test_buffer_that_is_not_in_the_list_is_refused(client_of, assistant, samples):
    setup = SetupFactory(buffer_samples=256)

    page = (
        client_of(assistant).post(use(setup), {"samples": samples, "seen": "1"}, follow=True).text
    )

    setup.refresh_from_db()
    assert setup.buffer_samples == 256
    assert "Nothing was changed" in page


def test_who_only_looks_has_no_button(client_of, mix_engineer, mixed_project):
    """A mix engineer sees the sessions of the projects that name them."""
    setup = SetupFactory(buffer_samples=256, session__project=mixed_project)

    page = client_of(mix_engineer).get(address(setup))

    assert page.status_code == 200
    assert "Use this buffer" not in page.text
    refused = client_of(mix_engineer).post(use(setup), {"samples": "64", "seen": "1"})
    assert refused.status_code == 403


def test_room_microphone_is_noted_and_not_judged(client_of, engineer):
    setup = SetupFactory(buffer_samples=32, session__project__sample_rate=48_000)
    PlacementFactory(revision=revision_of(microphone(), setup=setup), distance_cm=20)
    PlacementFactory(revision=revision_of(microphone(), setup=setup), distance_cm=300)

    html = client_of(engineer).get(address(setup)).text

    assert "1.9 ms in the headphones goes unnoticed" in html
    assert "is heard 8.2 ms after it at any buffer" in html
    assert "too late" not in html
