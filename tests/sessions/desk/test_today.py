from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.models import Status
from sessions.deliverables.listening.actions import give_verdict
from sessions.deliverables.listening.models import Choice
from sessions.deliverables.models import DeliverableKind
from tests.factories import (
    DeliverableFactory,
    DeliverableFileFactory,
    PartFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    SongFactory,
    TakeFactory,
)

pytestmark = pytest.mark.django_db


def session_at(hours, status, **more):
    starts = timezone.now() + timedelta(hours=hours)
    return RecordingSessionFactory(
        starts_at=starts, ends_at=starts + timedelta(hours=4), status=status, **more
    )


def titles(page, section) -> list:
    return [session.title for session in page.context[section]]


@pytest.mark.parametrize("rows", [1, 3])
def test_today_costs_the_same_on_a_busy_day(
    client_of, mix_engineer, mixed_project, rows, django_assert_num_queries
):
    for hours in range(rows):
        for status in (Status.UNDER_WAY, Status.CONFIRMED, Status.WRAPPED):
            ReservationFactory(session=session_at(hours, status, project=mixed_project))
        song = SongFactory(project=mixed_project)
        rough = DeliverableFileFactory(deliverable=DeliverableFactory(song=song)).deliverable
        give_verdict(rough, choice=Choice.APPROVED, by=mix_engineer)
        TakeFactory(part=PartFactory(song=song), circled=True)
    client = client_of(mix_engineer)

    with django_assert_num_queries(14):
        page = client.get(reverse("home"))

    for section in ("under_way", "coming_up", "wrapped", "rough_mixes", "verdicts", "to_mix"):
        assert len(page.context[section]) == rows


def test_today_tells_sessions_apart_by_state_and_time(client_of, engineer):
    session_at(-1, Status.UNDER_WAY, title="Now")
    session_at(-1, Status.CONFIRMED, title="Late to begin")
    session_at(2, Status.HELD, title="Tonight")
    session_at(6 * 24, Status.ENQUIRY, title="Next week")
    session_at(8 * 24, Status.CONFIRMED, title="Too far off")
    session_at(2, Status.CANCELLED, title="Called off")
    session_at(-50, Status.CONFIRMED, title="Gone by")
    session_at(-26, Status.WRAPPED, title="Yesterday")
    session_at(-50, Status.WRAPPED, title="The day before")

    page = client_of(engineer).get(reverse("home"))

    assert titles(page, "under_way") == ["Now"]
    assert titles(page, "coming_up") == ["Late to begin", "Tonight", "Next week"]
    assert titles(page, "wrapped") == ["Yesterday", "The day before"]


def test_today_names_the_rooms_that_are_taken(client_of, engineer):
    session = session_at(2, Status.CONFIRMED)
    ReservationFactory(session=session, room=RoomFactory(name="Rope Floor"))
    ReservationFactory(session=session, room=RoomFactory(name="Bread Room"), rank=None)

    page = client_of(engineer).get(reverse("home"))

    assert "Rope Floor" in page.text
    assert "Bread Room" not in page.text


def test_today_shows_rough_mixes_and_no_other_deliverables(client_of, engineer):
    early, late = DeliverableFactory(), DeliverableFactory()
    DeliverableFactory(kind=DeliverableKind.STEMS)

    page = client_of(engineer).get(reverse("home"))

    assert list(page.context["rough_mixes"]) == [late, early]


def test_today_of_a_mix_engineer_is_that_of_their_projects(client_of, mix_engineer, mixed_project):
    theirs = TakeFactory(part__song__project=mixed_project, circled=True).song
    TakeFactory(part__song__project=mixed_project)
    TakeFactory(circled=True)
    session_at(2, Status.CONFIRMED, title="Theirs", project=mixed_project)
    session_at(2, Status.CONFIRMED, title="Not theirs")
    DeliverableFactory()

    page = client_of(mix_engineer).get(reverse("home"))

    assert list(page.context["to_mix"]) == [theirs]
    assert titles(page, "coming_up") == ["Theirs"]
    assert list(page.context["rough_mixes"]) == []


def test_today_offers_nothing_to_mix_to_those_whom_no_project_names(client_of, engineer):
    TakeFactory(circled=True)

    page = client_of(engineer).get(reverse("home"))

    assert list(page.context["to_mix"]) == []
