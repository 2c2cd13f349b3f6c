from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from icalendar import Calendar

from sessions.bookings.event import session_ics
from sessions.bookings.models import RecordingSession, Status
from sessions.desk.confirmation import confirmation
from sessions.rooms.models import Studio
from tests.factories import (
    TEN_O_CLOCK,
    CancellationStepFactory,
    GearModelFactory,
    MoneyPaperFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
    UnitFactory,
)
from tests.printed import accessibility_errors, collisions, fonts_of, text_of, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def session():
    session = RecordingSessionFactory(title="Group vocals", project__name="Neap and Spring")
    ReservationFactory(
        session=session,
        room__name="Rope Floor",
        starts_at=session.starts_at - timedelta(minutes=45),
        before_minutes=45,
    )
    return session


def loaded(session) -> RecordingSession:
    return RecordingSession.objects.for_list().get(pk=session.pk)


def printed(client, session) -> bytes:
    return client.get(reverse("bookings:confirmation", args=[session.pk])).getvalue()


def test_confirmation_says_what_is_booked_and_when(client_of, manager, session):
    person = PersonFactory(name="Orla Quill", does="Recording engineer", phone="01632 960 001")
    ReservationFactory(session=session, room=None, person=person)
    model = GearModelFactory(maker="Hobweir", name="Stile 1")
    for unit in UnitFactory.create_batch(2, model=model):
        ReservationFactory(session=session, room=None, unit=unit)

    pdf = printed(client_of(manager), session)

    text = text_of(pdf)

    assert accessibility_errors(pdf) == []
    for words in (
        "Confirmation Group vocals",
        "This session is confirmed.",
        "Neap and Spring",
        "Mon 1 Jun 2026, 11:00 to 15:00",
        "Rope Floor Mon 1 Jun 2026, 10:15 to 15:00 45 none",
        "Orla Quill, recording engineer",
        "2 × Hobweir Stile 1",
    ):
        assert words in text
    assert "960 001" not in text
    assert collisions(words_of(pdf)) == []
    assert all(fonts_of(pdf).values())


def test_confirmation_promises_nothing_that_cannot_be_had(session):
    blocked = ReservationFactory(
        session=session, room=None, unit=UnitFactory(), rank=None, missing=True
    )

    assert blocked.unit.model not in dict(confirmation(loaded(session)).equipment)


@pytest.mark.parametrize(
    ("status", "kind", "says"),
    [
        (Status.ENQUIRY, "Enquiry", "Nothing is held for you yet."),
        (Status.HELD, "Hold", "It is not confirmed yet."),
        (Status.WRAPPED, "Confirmation", "This session is confirmed."),
        (Status.CANCELLED, "Cancellation", "This session is cancelled."),
    ],
)
def test_only_what_is_confirmed_is_called_so(session, status, kind, says):
    session.status = status
    session.save()

    paper = confirmation(loaded(session))

    assert paper.kind == kind
    assert says in paper.says


def test_place_in_line_is_said_of_a_hold():
    session = RecordingSessionFactory(status=Status.HELD)
    ReservationFactory(session=session, rank=2)

    assert dict(confirmation(loaded(session)).facts)["Status"] == "second hold"


def test_terms_are_named_with_their_steps(session):
    step = CancellationStepFactory(
        terms__name="Two days", notice_from=0, notice_below=48, percent=Decimal(50)
    )
    session.cancellation_terms = step.terms
    session.save()

    terms = confirmation(loaded(session)).terms

    assert terms[0] == "Less than 48 hours: 50 % of the fee."


def test_price_is_that_of_the_newest_quote(session):
    for number, total in ((1, "600"), (2, "480")):
        MoneyPaperFactory(
            session=session,
            kind="quote",
            number=number,
            currency="GBP",
            net=Decimal("400"),
            tax=Decimal("80"),
            total=Decimal(total),
            deposit=Decimal("240"),
        )

    price = dict(confirmation(loaded(session)).price)

    assert price["Quote number"] == "2"
    assert price["Total, GBP"] == "480.00"


def test_work_order_is_no_quote(session):
    MoneyPaperFactory(session=session, kind="work_order")

    assert confirmation(loaded(session)).price == ()


def test_confirmation_is_the_managers(client_of, engineer, session):
    answer = client_of(engineer).get(reverse("bookings:confirmation", args=[session.pk]))

    assert answer.status_code == 403


@pytest.mark.parametrize("rows", [1, 3])
def test_confirmation_costs_the_same_queries_for_any_number_of_rows(
    session, rows, django_assert_num_queries
):
    for _ in range(rows):
        ReservationFactory(session=session, room=None, unit=UnitFactory())
        ReservationFactory(session=session, room=None, person=PersonFactory())
    session = loaded(session)

    with django_assert_num_queries(2):
        confirmation(session)


def test_event_for_the_client_is_published_by_rfc_5546_section_3_2_1(session):
    Studio.to_edit()
    Studio.objects.update(sender="desk@quay-steps.example")
    session.note = "Deposit is late"
    session.save()

    calendar = Calendar.from_ical(session_ics(session, now=TEN_O_CLOCK))
    (event,) = calendar.events

    assert calendar["method"] == "PUBLISH"
    assert str(event["organizer"]) == "mailto:desk@quay-steps.example"
    assert event["organizer"].params["CN"] == "Quay Steps Studio"
    assert event["dtstamp"].dt == TEN_O_CLOCK
    assert (event.start, event.end) == (session.starts_at, session.ends_at)
    assert (event["status"], event["transp"]) == ("CONFIRMED", "OPAQUE")
    assert event["location"] == "Rope Floor, Quay Steps Studio"
    assert "Rope Floor: before, 45 min: Mon 1 Jun 2026, 10:15 to 11:00" in event["description"]
    assert "Deposit" not in event["description"]


def test_event_is_saved_as_a_file(client_of, engineer, session):
    answer = client_of(engineer).get(reverse("bookings:session_ics", args=[session.pk]))

    assert answer["Content-Type"] == "text/calendar; charset=utf-8; method=PUBLISH"
    assert answer["Content-Disposition"] == 'attachment; filename="group-vocals.ics"'
    assert len(Calendar.from_ical(answer.content).events) == 1


def test_night_over_the_clock_change_is_thirteen_hours(session):
    """Directive 2000/84/EC: the clocks go back on 25 October 2026 at 01:00 UTC."""
    session.starts_at = datetime(2026, 10, 24, 21, tzinfo=UTC)
    session.ends_at = session.starts_at + timedelta(hours=13)
    session.save()

    [event] = Calendar.from_ical(session_ics(session)).events

    assert event["dtstart"].dt.hour == 22
    assert event["dtend"].dt.hour == 10
    assert dict(confirmation(loaded(session)).facts)["Length"] == "13 h"
