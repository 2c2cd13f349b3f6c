"""A rebuild is finished in a house that has no session for it."""

import pytest
from django.urls import reverse

from gear.equipment.models import UnitState
from sessions.bookings.models import RecordingSession, Status
from sessions.recall.models import Rebuild
from tests.factories import RecordingSessionFactory, RoomFactory

pytestmark = pytest.mark.django_db
SENT = {"note": "For the mix", "starts_at": "2030-06-01T10:00", "ends_at": "2030-06-01T12:00"}


def url(name, rebuild):
    return reverse(f"rebuild:{name}", args=[rebuild.pk])


def words(response):
    return " ".join(response.content.decode().split())


@pytest.fixture
def rebuild(rebuild):
    RecordingSession.objects.update(status=Status.CANCELLED)
    return rebuild


def test_manager_books_the_session_while_finishing(client_of, manager, rebuild):
    room = RoomFactory(name="Long Room")
    page = words(client_of(manager).get(url("finish", rebuild)))
    assert "has no session that holds time" in page
    assert f'<option value="{room.pk}" selected>' in page  # the only one

    client_of(manager).post(url("finish_booked", rebuild), SENT | {"rooms": room.pk})

    session = Rebuild.objects.get().setup.session
    assert (session.project, session.status) == (rebuild.song.project, Status.CONFIRMED)
    assert (session.title, session.reservations.get().room) == (f"Rebuild of {rebuild.song}", room)
    assert session.status_steps.get().by == manager
    assert Rebuild.objects.get().note == "For the mix"


def test_engineer_asks_for_the_session_which_reserves_nothing_yet(client_of, engineer, rebuild):
    browser, room = client_of(engineer), RoomFactory()
    assert url("finish_booked", rebuild) not in words(browser.get(url("finish", rebuild)))
    assert browser.post(url("finish_booked", rebuild), SENT).status_code == 403

    browser.post(url("finish_asked", rebuild), SENT | {"rooms": room.pk})

    session = Rebuild.objects.get().setup.session
    assert session.status == Status.ENQUIRY
    assert not session.reservations.filter(rank__isnull=False).exists()
    assert "an enquiry until a manager confirms it" in words(browser.get(url("report", rebuild)))


def test_room_that_is_taken_is_refused_and_nothing_typed_is_lost(client_of, manager, rebuild):
    room = RoomFactory(name="Long Room")
    client_of(manager).post(url("finish_booked", rebuild), SENT | {"rooms": room.pk})
    again = Rebuild.objects.get()
    again.setup = again.finished_at = again.finished_by = None
    again.save()

    page = client_of(manager).post(url("finish_booked", rebuild), SENT | {"rooms": room.pk})

    assert page.status_code == 422
    assert "Long Room" in words(page)
    assert "For the mix" in words(page)
    assert 'value="2030-06-01T10:00"' in words(page)
    assert RecordingSession.objects.exclude(status=Status.CANCELLED).count() == 1
    assert not Rebuild.objects.get().is_finished


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"rooms": ""}, "A new session needs its room."),
        ({"starts_at": ""}, "A new session needs its start."),
        ({"ends_at": "2030-06-01T09:00"}, "The end must be after the start."),
        ({"starts_at": "2020-06-01T10:00", "ends_at": "2020-06-01T12:00"}, "is over already"),
        ({"starts_at": "soon"}, "Enter a day and a time"),
    ],
)
def test_what_a_new_session_lacks_is_said_beside_its_field(
    client_of, engineer, rebuild, changed, said
):
    sent = SENT | {"rooms": RoomFactory().pk} | changed

    page = client_of(engineer).post(url("finish_asked", rebuild), sent)

    assert page.status_code == 422
    assert said in words(page)
    assert "For the mix" in words(page)
    assert not Rebuild.objects.get().is_finished


def test_without_any_session_chosen_both_ways_are_said(client_of, engineer, rebuild):
    RecordingSessionFactory(project=rebuild.song.project)

    page = client_of(engineer).post(url("finish", rebuild), {"note": "For the mix"})

    assert page.status_code == 422
    assert "or make one below" in words(page)
    assert "For the mix" in words(page)


def test_session_is_not_booked_where_the_rebuild_can_not_be_finished(client_of, manager, rebuild):
    rebuild.steps.update(unit=None, is_left_out=True)
    before = RecordingSession.objects.count()

    page = client_of(manager).post(
        url("finish_booked", rebuild), SENT | {"rooms": RoomFactory().pk}
    )

    assert page.status_code == 422
    assert "Every unit is left out" in words(page)
    assert RecordingSession.objects.count() == before


def test_unit_that_went_to_the_bench_since_is_said_and_nothing_is_saved(
    client_of, manager, rebuild
):
    """It was in place when the chain was set up; a chain of today takes none that is under repair."""
    room = RoomFactory()
    unit = rebuild.steps.exclude(unit=None).first().unit
    unit.state = UnitState.ON_THE_BENCH
    unit.save()

    answer = client_of(manager).post(url("finish_booked", rebuild), SENT | {"rooms": room.pk})

    assert answer.status_code == 422
    assert f"{unit} is on the bench" in words(answer)
    assert "For the mix" in words(answer)
    assert not Rebuild.objects.get().is_finished
    assert not RecordingSession.objects.filter(title__startswith="Rebuild of").exists()
