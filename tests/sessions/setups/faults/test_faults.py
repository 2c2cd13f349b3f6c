import pytest
from django.urls import reverse

from gear.equipment.models import Fault, UnitState
from sessions.setups.faults.actions import units_of
from tests.factories import RecordingSessionFactory, ReservationFactory, UnitFactory
from tests.sessions.setups.building import microphone, preamplifier, revision_of

pytestmark = pytest.mark.django_db

# who is signed in (2), the session, its chains, its reservations, the units
FORM_QUERIES = 6


@pytest.fixture
def session():
    """With a microphone and a preamplifier in a chain."""
    return revision_of(microphone(), preamplifier()).chain.setup.session


def address(session, **asked):
    query = "&".join(f"{name}={value}" for name, value in asked.items())
    return f"{reverse('setups:fault', args=[session.pk])}?{query}"


def test_fault_is_reported_in_one_step_and_leads_back(client_of, assistant, session):
    unit = units_of(session)[0]
    back = f"/sessions/{session.pk}/takes/"

    answer = client_of(assistant).post(
        address(session, unit=unit.pk, next=back),
        {"unit": unit.pk, "description": "Hisses", "to_bench": "on"},
    )

    fault = Fault.objects.get()
    unit.refresh_from_db()
    assert answer.url == back
    assert (fault.unit, fault.reported_by, list(session.faults.all())) == (unit, assistant, [fault])
    assert unit.state == UnitState.ON_THE_BENCH


def test_units_of_the_chains_come_first_and_the_one_asked_for_is_chosen(
    client_of, assistant, session, django_assert_num_queries
):
    client, in_chains = client_of(assistant), set(units_of(session))
    for more in (1, 2):
        for _ in range(more):
            ReservationFactory(session=session, room=None, unit=UnitFactory())
        reserved = units_of(session)[-1]

        with django_assert_num_queries(FORM_QUERIES):
            page = client.get(address(session, unit=reserved.pk))

    choices = [key for key, _ in page.context["form"].fields["unit"].choices]
    assert set(choices[1:3]) == {unit.pk for unit in in_chains}
    assert len(choices) == 6
    assert f'<option value="{reserved.pk}" selected>' in page.content.decode()


def test_fault_without_words_is_refused_and_keeps_the_choice(client_of, assistant, session):
    unit = units_of(session)[1]

    page = client_of(assistant).post(
        address(session), {"unit": unit.pk, "description": "", "to_bench": "on"}
    )

    assert list(page.context["form"].errors) == ["description"]
    assert f'<option value="{unit.pk}" selected>' in page.content.decode()
    assert not Fault.objects.exists()


@pytest.mark.parametrize("outside", ["https://elsewhere.example/", "//elsewhere.example", "x"])
def test_way_back_never_leads_out_of_the_house(client_of, assistant, session, outside):
    page = client_of(assistant).get(address(session, next=outside))

    assert page.context["back"] == reverse("setups:session", args=[session.pk])


def test_pages_of_the_session_offer_the_report(client_of, assistant, session):
    chain = session.setups.get().chains.get()
    page = reverse("setups:fault", args=[session.pk])

    for name, thing in (("setups:session", session), ("takes:session", session)):
        text = client_of(assistant).get(reverse(name, args=[thing.pk])).content.decode()
        assert f'href="{page}?next=/' in text
    for name in ("setups:chain", "editor:chain"):
        text = client_of(assistant).get(reverse(name, args=[chain.pk])).content.decode()
        assert text.count(f'href="{page}?unit=') == 2


def test_unit_of_another_session_may_be_reported_too(client_of, assistant):
    unit = UnitFactory()

    client_of(assistant).post(
        address(RecordingSessionFactory()), {"unit": unit.pk, "description": "Borrowed, and hums"}
    )

    assert Fault.objects.get().unit == unit
