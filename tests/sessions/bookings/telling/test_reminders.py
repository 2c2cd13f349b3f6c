"""Reminders by the house's rules: when, to whom, and each once."""

from datetime import timedelta

import pytest

from sessions.bookings.actions import change_session, set_status
from sessions.bookings.challenges.actions import challenge_hold, lapse_due
from sessions.bookings.models import Status
from sessions.bookings.telling import TELL_NOBODY, telling
from sessions.bookings.telling.reminders import remind_due
from sessions.letters.models import Letter, LetterState
from sessions.rooms.models import HouseRules
from tests.factories import ClientFactory, PersonFactory, ProjectFactory, RoomFactory, UserFactory
from tests.sessions.bookings.challenges.lines import ASKED, at
from tests.sessions.bookings.days import HOUR, booked, hours

pytestmark = pytest.mark.django_db
LABEL, ED, BAND = "label@a.example", "ed@c.example", "band@b.example"
HOUSE = "other@quay-steps.example"
STARTS_AT, ENDS_AT = hours(10, 14)


@pytest.fixture
def room():
    return RoomFactory(name="Bread Room")


def of_client(address):
    return ProjectFactory(client=ClientFactory(email=address))


@pytest.fixture
def session(manager, room):
    with at(ASKED):
        made = booked(
            manager,
            title="Sea songs",
            project=of_client(LABEL),
            status=Status.CONFIRMED,
            rooms=[room],
            people=[PersonFactory(bookable=True, email=ED)],
        )
    sent()
    return made


def sent():
    Letter.objects.waiting().update(state=LetterState.SENT)


def reminded(moment):
    """{address: subject} of the reminders that are written then; they are sent."""
    with at(moment):
        letters = remind_due(moment)
    sent()
    return {letter.to: letter.subject for letter in letters}


def test_all_who_come_are_reminded_once_when_the_rule_says(session):
    assert reminded(STARTS_AT - 25 * HOUR) == {}
    said = "Reminder: Sea songs, Mon 1 Jun 2026, 11:00"
    assert reminded(STARTS_AT - 23 * HOUR) == {LABEL: said, ED: said}
    assert reminded(STARTS_AT - 22 * HOUR) == {}


def test_reminder_brings_the_call_sheet_and_no_calendar_file(session):
    reminded(STARTS_AT - 23 * HOUR)

    letter = Letter.objects.get(to=ED, kind="reminder")
    assert [file.name for file in letter.files.all()] == ["call-sheet.pdf"]


def test_rule_of_no_hours_reminds_nobody(session):
    HouseRules.to_edit()
    HouseRules.objects.update(reminder_hours=0)

    assert reminded(STARTS_AT - HOUR) == {}


def test_who_heard_of_it_within_the_hours_is_not_reminded(session, manager, room):
    with at(STARTS_AT - 20 * HOUR):
        change_session(
            session,
            version=session.version,
            starts_at=STARTS_AT,
            ends_at=ENDS_AT + HOUR,
            rooms=[room],
            people=[each.person for each in session.reservations.filter(person__isnull=False)],
            by=manager,
        )
    sent()

    assert reminded(STARTS_AT - 19 * HOUR) == {}


def test_who_was_never_told_is_not_reminded(manager, room):
    with at(ASKED), telling(by=manager, choices=TELL_NOBODY):
        booked(manager, project=of_client(LABEL), status=Status.CONFIRMED, rooms=[room])

    assert reminded(STARTS_AT - 23 * HOUR) == {}


@pytest.mark.parametrize("status", [Status.HELD, Status.CANCELLED])
def test_nothing_but_a_confirmed_session_is_reminded_of(session, manager, status):
    with at(ASKED):
        set_status(session, to=status, by=manager)
    sent()

    assert reminded(STARTS_AT - 23 * HOUR) == {}


def test_address_that_is_refused_is_not_written_to_every_minute(session):
    reminded(STARTS_AT - 23 * HOUR)
    Letter.objects.filter(kind="reminder").update(state=LetterState.FAILED)

    assert reminded(STARTS_AT - 22 * HOUR) == {}


def test_challenge_is_followed_up_before_its_deadline_with_those_who_can_act(manager, room):
    UserFactory(role="manager", email=HOUSE)
    with at(ASKED):
        hold, challenger = (
            booked(
                manager,
                title=title,
                project=of_client(address),
                rooms=[room],
                people=[PersonFactory(bookable=True, email=email)],
                queue_behind=True,
            )
            for title, address, email in (("Sea songs", LABEL, ED), ("Brass", BAND, ""))
        )
        challenge_hold(hold, challenger=challenger, by=manager)
    sent()
    deadline = ASKED + timedelta(hours=24)

    assert reminded(deadline - 7 * HOUR) == {}
    until = "Thu 21 May 2026, 10:00 (BST): Sea songs, Mon 1 Jun 2026, 11:00"
    assert reminded(deadline - 5 * HOUR) == {
        LABEL: f"Still open: please decide by {until}",
        HOUSE: f"Still open: confirm or release by {until}",
    }
    assert reminded(deadline - 4 * HOUR) == {}


def test_who_decides_is_asked_also_where_they_work_at_the_session_themselves(manager, room):
    """A client who produces, and the only manager, who engineers: each is one reader with one letter."""
    manager.email = HOUSE
    manager.save()
    people = [PersonFactory(bookable=True, email=LABEL)]
    people.append(PersonFactory(bookable=True, email=HOUSE, user=manager))
    with at(ASKED):
        hold, challenger = (
            booked(
                manager,
                title=title,
                project=of_client(address),
                rooms=[room],
                people=people,
                queue_behind=True,
            )
            for title, address, people in (("Sea songs", LABEL, people), ("Brass", BAND, []))
        )
        held = Letter.objects.get(to=LABEL)
        sent()
        challenge_hold(hold, challenger=challenger, by=UserFactory(role="manager"))
    asked = {letter.to: letter for letter in Letter.objects.waiting()}
    sent()
    deadline = ASKED + timedelta(hours=24)

    assert "please tell us when you want it confirmed" in " ".join(held.text.split())
    assert asked.keys() >= {LABEL, HOUSE}
    assert "Please tell us by" in asked[LABEL].text
    assert "has to be confirmed or released by" in " ".join(asked[HOUSE].text.split())
    until = "Thu 21 May 2026, 10:00 (BST): Sea songs, Mon 1 Jun 2026, 11:00"
    assert reminded(deadline - 5 * HOUR) == {
        LABEL: f"Still open: please decide by {until}",
        HOUSE: f"Still open: confirm or release by {until}",
    }
    with at(deadline):
        lapse_due(deadline)
    lapsed = {letter.to: letter for letter in Letter.objects.waiting()}
    assert lapsed[LABEL].subject.startswith("Hold lapsed: Sea songs")
    assert lapsed[HOUSE].subject.startswith("Hold lapsed: Sea songs")
