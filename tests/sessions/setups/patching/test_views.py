import pytest
from django.urls import reverse
from lxml import html

from gear.patchbay.models import Normal, Side
from sessions.bookings.models import Status
from tests.factories import (
    BayFactory,
    PatchPointFactory,
    RecordingSessionFactory,
    RevisionFactory,
    UnitFactory,
)
from tests.sessions.setups.building import stage

pytestmark = pytest.mark.django_db

# who is signed in (2), the bay, the sessions to choose from, those under way; the wiring, the
# revisions and their stages
PATCHED_NOW_QUERIES = 13


@pytest.fixture
def bay():
    return BayFactory(name="Bay 1")


@pytest.fixture
def under_way():
    return RecordingSessionFactory(title="Group vocals", status=Status.UNDER_WAY)


def patched(bay, session, column):
    """A new setup in which A feeds B one column further, past the half-normal to the B below."""
    upper = PatchPointFactory(bay=bay, row="A", column=column, label=f"Out {column}")
    lower, aside = (
        PatchPointFactory(bay=bay, row="B", column=n, label=f"In {n}", side=Side.RETURN)
        for n in (column, column + 1)
    )
    Normal.objects.create(source=upper, destination=lower, kind="full")
    revision = RevisionFactory(chain__setup__session=session)
    stage(revision, UnitFactory(), patch_out=upper)
    stage(revision, UnitFactory(), patch_in=aside)
    return revision.chain.setup


def text_of(client, bay, **query):
    address = reverse("setups:patched_now", args=[bay.pk])
    return " ".join(client.get(address, query).content.decode().split())


def test_bay_shows_cords_and_normals_of_what_is_under_way(client_of, engineer, bay, under_way):
    patched(bay, under_way, 1)

    text = text_of(client_of(engineer), bay)

    assert "Group vocals" in text
    assert "Cord 1 to Bay 1 B2 In 2" in text
    assert "Cord 1 from Bay 1 A1 Out 1" in text
    assert "Full normal to B1: broken" in text
    assert "B1: In 1 is no longer fed by Out 1 (plug in the top jack)" in text


def test_bay_shows_nothing_of_what_is_struck(client_of, engineer, bay, under_way):
    setup = patched(bay, under_way, 1)
    client = client_of(engineer)

    answer = client.post(reverse("setups:strike", args=[setup.pk]))

    assert answer.url == reverse("setups:session", args=[under_way.pk])
    assert "Full normal to B1: made" in text_of(client, bay)
    client.post(reverse("setups:undo_strike", args=[setup.pk]))
    assert "Full normal to B1: broken" in text_of(client, bay)


def test_bay_shows_the_session_that_is_chosen(client_of, engineer, bay, under_way):
    patched(bay, under_way, 1)
    tomorrow = RecordingSessionFactory(title="Concertina")
    patched(bay, tomorrow, 4)
    client = client_of(engineer)

    assert "Cord 1 to Bay 1 B5 In 5" in text_of(client, bay, session=tomorrow.pk)
    assert "Cord 1 to Bay 1 B2 In 2" in text_of(client, bay, session="nonsense")


def test_bay_takes_the_same_queries_for_one_and_for_three(
    client_of, engineer, bay, under_way, django_assert_num_queries
):
    client = client_of(engineer)
    for columns in ([1], [3, 5]):
        for column in columns:
            patched(bay, under_way, column)

        with django_assert_num_queries(PATCHED_NOW_QUERIES):
            text_of(client, bay)


def test_struck_setup_says_when_and_keeps_its_list(client_of, engineer, bay, under_way):
    setup = patched(bay, under_way, 1)
    client = client_of(engineer)

    page = client.post(reverse("setups:strike", args=[setup.pk]), follow=True)

    text = page.content.decode()
    assert "Struck " in text
    assert "Undo strike" in text
    assert "Bay 1 B2" in text
    assert [entry.struck_at is None for entry in setup.history.all()] == [False, True]


def test_striking_twice_keeps_the_first_time(client_of, engineer, bay, under_way):
    setup = patched(bay, under_way, 1)
    client = client_of(engineer)
    client.post(reverse("setups:strike", args=[setup.pk]))
    setup.refresh_from_db()

    client.post(reverse("setups:strike", args=[setup.pk]))

    before = setup.struck_at
    setup.refresh_from_db()
    assert setup.struck_at == before


def test_bay_as_patched_stands_behind_the_door_of_the_gear(client_of, engineer, bay):
    page = html.fromstring(
        client_of(engineer).get(reverse("setups:patched_now", args=[bay.pk])).content
    )

    assert (
        page.xpath("//nav[@aria-label='Main']//a[@aria-current]")[0].text_content().strip()
        == "Gear"
    )
