"""What stands in a chain and was not reserved: remarked, and reserved in one press if it is free."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.models import Status
from sessions.setups.warnings.reserved import not_reserved, units_not_ready
from tests.factories import RecordingSessionFactory, ReservationFactory, SetupFactory
from tests.sessions.setups.building import loaded, microphone, preamplifier, revision_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def chain():
    """[mic] -- [pre], neither of them reserved, in a session of the day after tomorrow."""
    starts_at = timezone.now() + timedelta(days=2)
    session = RecordingSessionFactory(
        starts_at=starts_at, ends_at=starts_at + timedelta(hours=4), status=Status.CONFIRMED
    )
    ReservationFactory(session=session)
    return revision_of(microphone(), preamplifier(), setup__session=session)


def warnings_of(revision, **options):
    session = revision.chain.setup.session
    return list(not_reserved(units_not_ready(session, [revision], **options), [revision]))


def units_of(revision):
    return tuple(stage.unit for stage in revision.stages.all())


def test_units_are_free_and_not_reserved(chain):
    [warning] = warnings_of(chain)

    assert (warning.severity, warning.to_reserve) == ("caution", units_of(chain))


def test_unit_is_taken_by_another_session(chain):
    session, (mic, pre) = chain.chain.setup.session, units_of(chain)
    other = RecordingSessionFactory(
        starts_at=session.starts_at, ends_at=session.ends_at, status=Status.CONFIRMED
    )
    ReservationFactory(session=other, unit=mic, room=None)

    taken, free = warnings_of(chain)

    assert (taken.severity, taken.to_reserve) == ("warning", ())
    assert f"{other}" in taken.reason
    assert free.to_reserve == (pre,)


def test_session_that_is_over_counts_on_nothing(chain):
    assert warnings_of(chain, now=chain.chain.setup.session.ends_at) == []


def test_setup_that_is_struck_counts_on_nothing(chain):
    """[mic] -- [pre], struck, beside the same [mic] in a setup that is up"""
    struck = chain.chain.setup
    struck.struck_at = timezone.now()
    struck.save()
    other = SetupFactory(session=struck.session)
    up = revision_of(units_of(chain)[0], setup=other)
    unready = units_not_ready(struck.session, [loaded(chain), up])

    assert list(not_reserved(unready, [loaded(chain)])) == []
    assert [each.to_reserve for each in not_reserved(unready, [up])] == [units_of(up)]


def test_units_are_reserved_by_one_press(client_of, engineer, chain):
    session = chain.chain.setup.session
    [warning] = warnings_of(chain)
    client, page = client_of(engineer), reverse("editor:chain", args=[chain.chain_id])
    assert f'value="{warning.unit_keys}"' in client.get(page).text

    answer = client.post(
        reverse("setups:reserve", args=[session.pk]), {"units": warning.unit_keys, "next": page}
    )

    assert answer.url == page
    assert {each.unit for each in session.reservations.all()} >= set(units_of(chain))
    assert warnings_of(chain) == []


def test_only_what_stands_in_a_chain_of_the_session_is_reserved_so(client_of, engineer, chain):
    session, elsewhere = chain.chain.setup.session, microphone()

    client_of(engineer).post(
        reverse("setups:reserve", args=[session.pk]), {"units": f"{elsewhere.pk},x,"}
    )

    assert not session.reservations.filter(unit=elsewhere).exists()
