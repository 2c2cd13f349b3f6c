"""A session as a message to a calendar: what RFC 5546 asks of it, as icalendar reads it back."""

from datetime import timedelta
from uuid import UUID

import pytest
from icalendar import Calendar

from sessions.bookings.actions import change_session, give_credit, set_status
from sessions.bookings.event import CANCEL, REQUEST, Attendee, session_ics, session_itip
from sessions.bookings.models import CreditRole, Status
from sessions.bookings.sequence import sequence_of
from sessions.rooms.models import HouseRules, Studio
from tests.factories import (
    TEN_O_CLOCK,
    CreditFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
)

pytestmark = pytest.mark.django_db
ULRIC = Attendee("ulric@quay-steps.example", 'Ulric "Ull" Yarrell, assistant')
# RFC 5546, sections 3.2.2 and 3.2.5: the properties with presence 1 or 1+
ASKED_FOR = {
    REQUEST: {"ATTENDEE", "DTSTAMP", "DTSTART", "ORGANIZER", "SEQUENCE", "SUMMARY", "UID"},
    CANCEL: {"ATTENDEE", "DTSTAMP", "ORGANIZER", "SEQUENCE", "UID"},
}
# … and those with presence 0 in both
NOT_ALLOWED = {"REQUEST-STATUS", "RECURRENCE-ID", "DURATION"}


@pytest.fixture
def room():
    return RoomFactory(name="Rope Floor")


@pytest.fixture
def session(room):
    starts_at = TEN_O_CLOCK + timedelta(days=3650)
    session = RecordingSessionFactory(
        title="Group vocals", project__artist="Four Men", starts_at=starts_at
    )
    ReservationFactory(session=session, room=room)
    return session


def read(file: bytes):
    """The object and its one event."""
    calendar = Calendar.from_ical(file)
    [event] = calendar.events
    return calendar, event


def sent(session, method=REQUEST, attendee=ULRIC):
    return read(session_itip(session, attendee=attendee, method=method))


@pytest.mark.parametrize("method", [REQUEST, CANCEL])
def test_message_has_all_that_rfc_5546_asks_for(session, method):
    calendar, event = sent(session, method)

    assert calendar["method"] == method
    assert ASKED_FOR[method] <= set(event)
    assert not NOT_ALLOWED & set(event)
    assert [str(zone["tzid"]) for zone in calendar.timezones] == ["Europe/London"]


def test_request_says_when_where_and_who(session):
    Studio.objects.create(pk=1, name="Quay Steps Studio", sender="desk@quay-steps.example")
    session.note = "Deposit is late"
    session.save()

    _, event = sent(session)

    assert (event.start, event.end) == (session.starts_at, session.ends_at)
    assert event["summary"] == "Group vocals: Four Men"
    assert event["location"] == "Rope Floor, Quay Steps Studio"
    assert (event["status"], event["transp"]) == ("CONFIRMED", "OPAQUE")
    assert "Deposit" not in event["description"]
    assert event["organizer"] == "mailto:desk@quay-steps.example"
    assert event["organizer"].params["CN"] == "Quay Steps Studio"
    assert event["attendee"] == "mailto:ulric@quay-steps.example"
    # RFC 6868, section 3.2, lets a quotation mark stand in a parameter
    assert event["attendee"].params["CN"] == ULRIC.name
    assert event["attendee"].params["RSVP"] == "FALSE"


def test_room_that_the_session_cannot_have_is_not_where_it_is(session):
    ReservationFactory(session=session, room__name="Bread Room", rank=None, missing=True)

    assert sent(session)[1]["location"] == "Rope Floor, Quay Steps Studio"


def test_house_without_a_sender_organizes_under_the_address_that_letters_have(session, settings):
    settings.DEFAULT_FROM_EMAIL = "The desk <desk@oakum-row.example>"

    _, event = sent(session)

    assert event["organizer"] == "mailto:desk@oakum-row.example"


def test_sign_that_a_uri_may_not_hold_is_quoted_by_rfc_6068_section_2(session):
    _, event = sent(session, attendee=Attendee("brass/50%&more@b.example"))

    assert event["attendee"] == "mailto:brass%2F50%25%26more@b.example"


@pytest.mark.parametrize(
    ("status", "told"),
    [(Status.HELD, "TENTATIVE"), (Status.CONFIRMED, "CONFIRMED"), (Status.WRAPPED, "CONFIRMED")],
)
def test_hold_is_tentative(session, status, told):
    session.status = status

    assert sent(session)[1]["status"] == told


# RFC 5546, section 3.2.5, STATUS: CANCELLED where the entire event is, else it must not be there
@pytest.mark.parametrize(
    ("status", "told"),
    [(Status.CANCELLED, "CANCELLED"), (Status.ENQUIRY, "CANCELLED"), (Status.CONFIRMED, None)],
)
def test_cancellation_tells_the_end_of_the_session_from_that_of_a_booking(session, status, told):
    session.status = status

    _, event = sent(session, CANCEL)

    assert event.get("status") == told
    assert event["transp"] == "TRANSPARENT"


@pytest.mark.parametrize("status", [Status.ENQUIRY, Status.CANCELLED])
def test_nobody_is_asked_to_keep_free_what_reserves_nothing(session, status):
    session.status = status

    with pytest.raises(ValueError, match="reserves nothing"):
        sent(session)


def test_letters_and_file_have_one_uid_and_one_sequence(session):
    events = [sent(session)[1], read(session_ics(session))[1]]

    assert events[0]["uid"] == events[1]["uid"]
    assert UUID(events[0]["uid"]).version == 5  # RFC 7986, section 5.3
    assert events[0]["sequence"] == events[1]["sequence"]


# RFC 5546, section 2.1.4: incremented with DTSTART, DTEND, STATUS and with each CANCEL
def test_sequence_rises_with_every_change_and_after_reopening(session, room, manager):
    person = PersonFactory(bookable=True)

    def change(**facts):
        now = {"starts_at": session.starts_at, "ends_at": session.ends_at, "rooms": [room]}
        change_session(session, version=session.version, by=manager, **now | facts)

    later = session.starts_at + timedelta(hours=1)
    steps = [
        lambda: change(starts_at=later),
        lambda: change(rooms=[RoomFactory()]),
        lambda: change(people=[person]),
        lambda: change(people=[]),
        lambda: set_status(session, to=Status.CANCELLED, by=manager),
        lambda: set_status(session, to=Status.ENQUIRY, by=manager),
        lambda: set_status(session, to=Status.HELD, by=manager),
        lambda: set_status(session, to=Status.CONFIRMED, by=manager),
        lambda: give_credit(session, person=person, role=CreditRole.VOCALIST, by=manager),
        lambda: session.credits.get().delete(),
    ]
    counted = [sequence_of(session)]
    for step in steps:
        step()
        counted.append(sequence_of(session))

    assert all(before < after for before, after in zip(counted, counted[1:], strict=False))


def test_sequence_is_its_own_sessions(session):
    before = sequence_of(session)
    other = RecordingSessionFactory()
    ReservationFactory.create_batch(2, session=other)
    CreditFactory(session=other)

    assert sequence_of(session) == before
    assert sequence_of(other) == 4


@pytest.mark.parametrize("rows", [1, 3])
def test_message_costs_the_same_queries_for_any_number_of_rows(
    session, rows, django_assert_num_queries
):
    HouseRules.to_edit()
    for _ in range(rows):
        ReservationFactory(session=session)
        CreditFactory(session=session)

    with django_assert_num_queries(4):
        sent(session)
