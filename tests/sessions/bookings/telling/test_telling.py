"""Who is told what of which change: from what each was told last to how it stands now."""

from datetime import timedelta

import pytest
from icalendar import Calendar

from sessions.bookings.actions import (
    change_session,
    give_credit,
    remove_credit,
    set_padding,
    set_status,
)
from sessions.bookings.models import CreditRole, RecordingSession, Status, Told
from sessions.bookings.padding import Padding
from sessions.bookings.telling import TELL_NOBODY, Choices, drafts_of, tell, telling
from sessions.bookings.telling.writing import drafts_for
from sessions.letters.actions import note_told, send_again
from sessions.letters.models import Letter, LetterState
from tests.factories import (
    ClientFactory,
    PersonFactory,
    ProjectFactory,
    RoomFactory,
    UnitFactory,
    UserFactory,
)
from tests.sessions.bookings.challenges.lines import ASKED, at
from tests.sessions.bookings.days import booked, hours

pytestmark = pytest.mark.django_db
LABEL, ED, ALMA = "label@a.example", "ed@c.example", "alma@d.example"
COPY = "other@quay-steps.example"


@pytest.fixture(autouse=True)
def _in_may():
    with at(ASKED):
        yield


@pytest.fixture
def ed():
    return PersonFactory(name="Ed Quoin", bookable=True, email=ED)


@pytest.fixture
def alma():
    return PersonFactory(name="Alma Reeve", bookable=True, email=ALMA)


@pytest.fixture
def project():
    return ProjectFactory(client=ClientFactory(name="Cinder Walk", email=LABEL))


@pytest.fixture
def session(manager, project, ed):
    """Confirmed, and everybody was told so."""
    made = booked(
        manager,
        title="Sea songs",
        project=project,
        status=Status.CONFIRMED,
        rooms=[RoomFactory(name="Bread Room")],
        people=[ed],
    )
    sent()
    return made


def sent():
    """Whatever waits has gone to its readers."""
    Letter.objects.waiting().update(state=LetterState.SENT)


def changed(session, by, **wanted):
    takes = {
        "rooms": [each.room for each in session.reservations.for_list() if each.room],
        "people": [each.person for each in session.reservations.for_list() if each.person],
        "units": [each.unit for each in session.reservations.for_list() if each.unit],
    }
    session.refresh_from_db()
    facts = {"starts_at": session.starts_at, "ends_at": session.ends_at} | takes | wanted
    return change_session(session, version=session.version, **facts, by=by)


def waiting():
    """{address: subject} of what is about to be sent."""
    return {each.to: each.subject for each in Letter.objects.waiting()}


def letter_to(address):
    return Letter.objects.waiting().get(to=address)


def calendar_of(letter):
    """(method, status, start) of the only calendar object of a letter."""
    [file] = letter.files.filter(content_type="text/calendar")
    calendar = Calendar.from_ical(bytes(file.content))
    [event] = calendar.walk("VEVENT")
    assert file.method == calendar["METHOD"]
    return file.method, event.get("STATUS"), event["DTSTART"].dt


def test_session_booked_straight_as_confirmed_is_told_to_all_but_who_books(
    manager, project, ed, alma
):
    UserFactory(role="manager", email=COPY)

    session = booked(
        manager, title="Sea songs", project=project, status=Status.CONFIRMED, people=[ed]
    )

    when = "Sea songs, Mon 1 Jun 2026, 11:00"
    assert waiting() == {LABEL: f"Booked: {when}", ED: f"Booked: {when}", COPY: f"Booked: {when}"}
    method, status, start = calendar_of(letter_to(LABEL))
    assert (method, status, start) == ("REQUEST", "CONFIRMED", session.starts_at)
    assert not letter_to(COPY).files.exists()
    assert f"Done by {manager}." in letter_to(COPY).text


def test_enquiry_is_told_to_nobody(manager, project, ed):
    booked(manager, project=project, status=Status.ENQUIRY, people=[ed])

    assert waiting() == {}


def test_session_that_only_ends_later_is_told_as_changed(manager, session, ed):
    changed(session, manager, ends_at=session.ends_at + timedelta(hours=1))

    assert letter_to(LABEL).subject.startswith("Changed: ")
    text = letter_to(LABEL).text
    assert "was Mon 1 Jun 2026, 11:00 to 15:00 (BST)" in text
    assert "now Mon 1 Jun 2026, 11:00 to 16:00 (BST)" in text
    assert calendar_of(letter_to(ED))[0] == "REQUEST"


def test_move_is_told_with_before_and_after(manager, session):
    starts_at, ends_at = hours(12, 16)

    changed(session, manager, starts_at=starts_at, ends_at=ends_at)

    assert set(waiting()) == {LABEL, ED}
    text = letter_to(LABEL).text
    assert "Your session has been moved." in text
    assert "was Mon 1 Jun 2026, 11:00 to 15:00 (BST)" in text
    assert "now Mon 1 Jun 2026, 13:00 to 17:00 (BST)" in text
    assert calendar_of(letter_to(ED)) == ("REQUEST", "CONFIRMED", starts_at)


def test_who_is_removed_is_told_as_well_as_who_is_new(manager, session, alma):
    changed(session, manager, people=[alma])

    assert waiting()[ED].startswith("Not booked any more: Sea songs")
    assert waiting()[ALMA].startswith("Booked: Sea songs")
    assert waiting()[LABEL].startswith("Changed: Sea songs")
    assert calendar_of(letter_to(ED))[0] == "CANCEL"
    assert "was Ed Quoin" in letter_to(LABEL).text
    assert "now Alma Reeve" in letter_to(LABEL).text


@pytest.mark.parametrize(
    ("change", "label", "told"),
    [
        (lambda: {"rooms": [RoomFactory(name="Rope Floor")]}, "Room", {LABEL, ED}),
        (lambda: {"units": [UnitFactory(asset_tag="MC-01")]}, "Gear", {LABEL, ED}),
        (lambda: {"title": "Land songs"}, "Session", {LABEL, ED}),
    ],
)
def test_change_names_what_differs(manager, session, change, label, told):
    changed(session, manager, **change())

    assert set(waiting()) == told
    assert "What changed:" in letter_to(LABEL).text
    assert f"- {label}: " in letter_to(LABEL).text


def test_note_of_the_house_is_told_to_nobody(manager, session):
    changed(session, manager, note="They were late last time.")

    assert waiting() == {}


def test_time_of_one_person_is_told_to_that_person(manager, session, ed):
    set_padding(session, version=session.version, padding={ed: Padding(before=60)}, by=manager)

    assert set(waiting()) == {ED}
    assert "Mon 1 Jun 2026, 10:00 to 15:00 (BST)" in letter_to(ED).text


def test_cancellation_takes_it_out_of_every_calendar(manager, session):
    set_status(session, to=Status.CANCELLED, by=manager)

    assert {each.split(":")[0] for each in waiting().values()} == {"Session cancelled"}
    assert calendar_of(letter_to(LABEL))[:2] == ("CANCEL", "CANCELLED")
    assert "need not come" in letter_to(ED).text
    assert "confirmed" not in letter_to(ED).text


def test_two_changes_before_the_letter_goes_make_one_letter(manager, session):
    changed(session, manager, rooms=[RoomFactory(name="Rope Floor")])
    starts_at, ends_at = hours(12, 16)
    changed(session, manager, starts_at=starts_at, ends_at=ends_at)

    assert Letter.objects.filter(to=LABEL).waiting().count() == 1
    text = letter_to(LABEL).text
    assert "was Bread Room\n  now Rope Floor" in text
    assert "was Mon 1 Jun 2026, 11:00" in text
    assert Letter.objects.filter(state=LetterState.REPLACED).count() == 2


def test_change_that_is_undone_before_the_letter_goes_is_not_told(manager, session):
    old = session.starts_at, session.ends_at
    starts_at, ends_at = hours(12, 16)
    changed(session, manager, starts_at=starts_at, ends_at=ends_at)
    assert set(waiting()) == {LABEL, ED}

    changed(session, manager, starts_at=old[0], ends_at=old[1])

    assert waiting() == {}


def test_who_was_left_out_is_told_later_from_what_they_heard_last(manager, session):
    with telling(by=manager, choices=Choices(left_out=frozenset({LABEL}))):
        changed(session, manager, rooms=[RoomFactory(name="Rope Floor")])
    assert set(waiting()) == {ED}
    sent()
    starts_at, ends_at = hours(12, 16)

    changed(session, manager, starts_at=starts_at, ends_at=ends_at)

    assert "was Bread Room\n  now Rope Floor" in letter_to(LABEL).text
    assert "Rope Floor\n" not in letter_to(ED).text.split("Session:")[0]


def test_who_was_never_told_of_it_is_not_told_that_it_is_over(manager, project, ed):
    with telling(by=manager, choices=TELL_NOBODY):
        session = booked(manager, project=project, status=Status.CONFIRMED, people=[ed])

    set_status(session, to=Status.CANCELLED, by=manager)

    assert waiting() == {}


def test_letter_that_failed_told_nobody(manager, session):
    Letter.objects.filter(to=LABEL).update(state=LetterState.FAILED)
    starts_at, ends_at = hours(12, 16)

    changed(session, manager, starts_at=starts_at, ends_at=ends_at)

    assert waiting()[LABEL].startswith("Booked: Sea songs, Mon 1 Jun 2026, 13:00")
    assert not Letter.objects.filter(state=LetterState.FAILED).exists()


def test_letter_that_went_again_to_a_new_address_was_heard(manager, session, ed):
    Letter.objects.filter(to=ED).update(state=LetterState.FAILED)
    ed.email = "new@c.example"
    ed.save()
    send_again(Letter.objects.get(to=ED), by=manager)
    sent()

    changed(session, manager, rooms=[RoomFactory(name="Rope Floor")])

    assert "was Bread Room" in letter_to("new@c.example").text


def test_who_was_told_otherwise_knows(manager, session):
    Letter.objects.filter(to=LABEL).update(state=LetterState.FAILED)
    note_told(Letter.objects.get(to=LABEL), how="by telephone", by=manager)

    changed(session, manager, rooms=[RoomFactory(name="Rope Floor")])

    assert "was Bread Room" in letter_to(LABEL).text


def test_several_changes_of_one_press_are_one_letter_with_an_object_for_each(manager, project, ed):
    with telling(by=manager) as told:
        for hour in (8, 12, 16):
            booked(
                manager,
                title="Sea songs",
                project=project,
                status=Status.CONFIRMED,
                start=hour,
                end=hour + 2,
                people=[ed],
            )

    assert {letter.to for letter in told.letters} == {LABEL, ED}
    [letter] = [each for each in told.letters if each.to == ED]
    assert letter.subject == "Booked: Sea songs, 3 sessions"
    names = letter.files.filter(method="REQUEST").values_list("name", flat=True)
    assert list(names) == [f"session-2026-06-01-{hour}00.ics" for hour in ("09", "13", "17")]
    assert letter.topics.count() == 3
    assert letter.text.count("You are booked for these sessions.") == 1
    assert letter.text.count("Room: ") == 3
    assert letter.text.count("People: Ed Quoin") == 1


def test_letter_about_several_that_waits_is_replaced_as_a_whole(manager, project, ed):
    with telling(by=manager):
        first, second = (
            booked(
                manager,
                title="Sea songs",
                project=project,
                status=Status.CONFIRMED,
                start=hour,
                end=hour + 2,
                people=[ed],
            )
            for hour in (8, 12)
        )

    set_status(second, to=Status.CANCELLED, by=manager)

    assert waiting()[ED] == "Booked: Sea songs, Mon 1 Jun 2026, 09:00"
    assert [topic.about for topic in letter_to(ED).topics.all()] == [first]


def test_letter_that_waits_promises_nothing_that_was_cancelled_without_a_word(manager, session, ed):
    changed(session, manager, ends_at=session.ends_at + timedelta(hours=1))
    assert waiting().keys() == {LABEL, ED}

    with telling(by=manager, choices=TELL_NOBODY):
        set_status(session, to=Status.CANCELLED, by=manager)

    assert waiting() == {}


@pytest.fixture
def two(manager, project, ed):
    """Two sessions of one day, of which one letter that waits tells."""
    with telling(by=manager):
        return [
            booked(
                manager,
                title="Sea songs",
                project=project,
                status=Status.CONFIRMED,
                start=hour,
                end=hour + 2,
                people=[ed],
            )
            for hour in (8, 6)
        ]


@pytest.mark.parametrize("word", ["Booked", "Session cancelled"])
def test_rest_of_a_letter_that_waits_goes_where_one_is_called_off_without_a_word(
    word, manager, two
):
    first, second = two
    if word == "Session cancelled":
        sent()
        with telling(by=manager):
            set_status(first, to=Status.CANCELLED, by=manager)
            changed(second, manager, ends_at=second.ends_at + timedelta(hours=1))
    assert letter_to(ED).topics.count() == 2

    with telling(by=manager, choices=Choices(nobody=True, added_line="Not for Ed")):
        set_status(second, to=Status.CANCELLED, by=manager)

    assert waiting()[ED] == f"{word}: Sea songs, Mon 1 Jun 2026, 09:00"
    letter = letter_to(ED)
    assert [topic.about for topic in letter.topics.all()] == [first]
    assert calendar_of(letter)[0] == ("REQUEST" if word == "Booked" else "CANCEL")
    assert "Not for Ed" not in letter.text


def test_rest_of_a_letter_that_waits_tells_nothing_of_what_it_did_not_tell(manager, session, two):
    """Of one press: one that waits to be told is called off, and another moved."""
    first, second = two

    with telling(by=manager, choices=TELL_NOBODY):
        set_status(second, to=Status.CANCELLED, by=manager)
        changed(session, manager, rooms=[RoomFactory(name="Rope Floor")])

    assert [topic.about for topic in letter_to(ED).topics.all()] == [first]


def test_letter_that_failed_to_tell_that_it_is_off_stays_where_nobody_is_told(manager, session):
    set_status(session, to=Status.CANCELLED, by=manager)
    Letter.objects.waiting().update(state=LetterState.FAILED)

    with telling(by=manager, choices=TELL_NOBODY) as told:
        told.touched(session)

    assert set(Letter.objects.waiting()) == set()
    assert Letter.objects.filter(state=LetterState.FAILED).count() == 2


def test_letter_that_waits_goes_where_only_what_came_after_it_is_told_to_nobody(
    manager, session, ed
):
    changed(session, manager, ends_at=session.ends_at + timedelta(hours=1))

    with telling(by=manager, choices=TELL_NOBODY):
        changed(session, manager, units=[UnitFactory()])

    assert waiting().keys() == {LABEL, ED}


def test_player_is_told_while_it_is_still_to_come(manager, session, alma):
    credit = give_credit(
        session, person=alma, role=CreditRole.MUSICIAN, instrument="Cello", by=manager
    )
    assert waiting()[ALMA].startswith("Booked: Sea songs")
    assert "Your part: musician, Cello" in letter_to(ALMA).text
    sent()

    remove_credit(credit, by=manager)

    assert waiting()[ALMA].startswith("Not booked any more")


def test_player_who_is_there_already_is_not_told(manager, session, alma):
    set_status(session, to=Status.UNDER_WAY, by=manager)

    give_credit(session, person=alma, role=CreditRole.MUSICIAN, by=manager)

    assert waiting() == {}


def test_nobody_is_told_of_what_is_over(manager, session, alma):
    with at(session.ends_at + timedelta(days=1)):
        changed(session, manager, people=[alma])

    assert waiting() == {}


def test_address_that_changed_is_the_same_reader(manager, session, ed):
    ed.email = "new@c.example"
    ed.save()

    changed(session, manager, rooms=[RoomFactory(name="Rope Floor")])

    assert set(waiting()) == {LABEL, "new@c.example"}
    assert "was Bread Room" in letter_to("new@c.example").text


def test_two_with_one_address_get_one_letter(manager, ed):
    client = ClientFactory(email=ED.upper())
    booked(manager, project=ProjectFactory(client=client), status=Status.CONFIRMED, people=[ed])

    assert [each.to for each in Letter.objects.waiting()] == [ED]


def test_who_has_no_address_is_named(manager, project):
    ed = PersonFactory(name="Ed Quoin", bookable=True, email="")

    with telling(by=manager) as told:
        session = booked(manager, project=project, status=Status.CONFIRMED, people=[ed])

    assert [notice.reader.name for notice in told.planned.unreachable] == ["Ed Quoin"]
    with telling(by=manager) as told:
        tell(session, by=manager)
    assert told.planned.unreachable == []


def test_drafts_are_what_would_be_written_and_nothing_is_done(manager, session):
    drafts = drafts_of(lambda: set_status(session, to=Status.CANCELLED, by=manager), by=manager)

    assert {draft.to for draft in drafts} == {LABEL, ED}
    assert RecordingSession.objects.get().status == Status.CONFIRMED
    assert waiting() == {}
    assert Told.objects.filter(facts=None).count() == 0


@pytest.mark.parametrize("count", [1, 4])
def test_letters_to_many_are_drafted_in_as_many_queries(
    manager, project, count, django_assert_num_queries
):
    people = [PersonFactory(bookable=True, email=f"p{n}@c.example") for n in range(count)]
    session = booked(manager, project=project, status=Status.HELD, people=people)
    with telling(by=manager) as told:
        set_status(session, to=Status.CONFIRMED, by=manager)
        planned = told.planned
        with django_assert_num_queries(2):  # for the studio and its rules
            drafts = drafts_for(planned, by=manager)

    assert len(drafts) == count + 1
    assert all(draft.calendars for draft in drafts)


def test_line_and_choice_of_whoever_saves(manager, project, ed):
    UserFactory(role="manager", email=COPY)
    session = booked(manager, project=project, status=Status.CONFIRMED, people=[ed])
    sent()
    choices = Choices(left_out=frozenset({ED}), added_line="The lift is out of order.")
    with telling(by=manager, choices=choices):
        set_status(session, to=Status.CANCELLED, by=manager)

    assert set(waiting()) == {LABEL, COPY}
    assert "Told of it: Cinder Walk.\n\nNot told: Ed Quoin." in letter_to(COPY).text
    assert "The lift is out of order." in letter_to(LABEL).text
    assert "The lift is out of order." in letter_to(LABEL).html


def test_client_who_comes_to_work_too_has_one_letter_about_their_hold(manager, ed):
    """A second hold of theirs moves up as they are put down for it."""
    room, project = RoomFactory(), ProjectFactory(client=ClientFactory(email=ED))
    ahead = booked(manager, rooms=[room])
    behind = booked(manager, rooms=[room], project=project, title="Brass", queue_behind=True)
    sent()

    with telling(by=manager):
        changed(behind, manager, people=[ed])
        set_status(ahead, to=Status.CANCELLED, by=manager)

    assert waiting()[ED].startswith("Held: Brass")
    assert "please tell us when you want it confirmed" in " ".join(letter_to(ED).text.split())
