"""What a feed says of its room or person, as icalendar and recurring-ical-events read it back."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest
import recurring_ical_events
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from icalendar import Calendar

from sessions.bookings.actions import set_status
from sessions.bookings.event import REQUEST, Attendee, session_ics, session_itip
from sessions.bookings.models import Block, BlockKind, RecordingSession, Reservation, Status
from sessions.calendar.feeds.contents import feed_file, last_change
from sessions.calendar.feeds.models import FeedAddress
from sessions.ical.events import plain
from sessions.periods import midnight
from sessions.rooms.models import HouseRules
from tests.factories import (
    TEN_O_CLOCK,
    BlockFactory,
    FeedAddressFactory,
    PersonFactory,
    ProjectFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


def leave_of(person, starts_at, ends_at, **facts):
    facts = {"kind": BlockKind.LEAVE, "title": "Leave"} | facts
    block = Block.objects.create(starts_at=starts_at, ends_at=ends_at, **facts)
    Reservation.objects.create(
        block=block, person=person, rank=1, starts_at=starts_at, ends_at=ends_at
    )


def taken(room, *, rank=1, before=0, after=0, **session):
    session = RecordingSessionFactory(**session)
    return ReservationFactory(
        session=session,
        room=room,
        rank=rank,
        starts_at=session.starts_at - timedelta(minutes=before),
        ends_at=session.ends_at + timedelta(minutes=after),
        before_minutes=before,
        after_minutes=after,
    )


def test_confirmed_session_is_a_busy_event_with_all_that_a_calendar_wants(room, feed, read):
    project = ProjectFactory(
        client__name="Thole & Ledger", name="Neap and Spring", artist="Four Men"
    )
    reservation = taken(room, project=project, title="Group vocals")

    (event,) = read(feed).events

    assert (event.start, event.end) == (TEN_O_CLOCK, TEN_O_CLOCK + timedelta(hours=4))
    assert event["summary"] == "Group vocals: Four Men"
    assert event["location"] == "Rope Floor, Quay Steps Studio"
    assert (event["status"], event["transp"]) == ("CONFIRMED", "OPAQUE")
    changed = reservation.history.first().history_date.replace(microsecond=0)
    assert event["last-modified"].dt == event["dtstamp"].dt == changed
    assert event["description"].split("\n") == [
        "Neap and Spring, Four Men",
        "Client: Thole & Ledger",
        "Status: confirmed",
    ]


def test_session_has_one_uid_sequence_and_time_in_all_feeds_and_letters(room, manager, read):
    person = PersonFactory(bookable=True)
    session = taken(room, before=30).session
    ReservationFactory(session=session, room=None, person=person)
    letter = session_itip(session, attendee=Attendee("ulric@b.example"), method=REQUEST)
    files = [
        letter,
        session_ics(session),
        *(
            feed_file(FeedAddress.make(by=manager, **of)[0], now=TEN_O_CLOCK)
            for of in ({"room": room}, {"person": person}, {"whole_house": True})
        ),
    ]

    told = {
        (event["uid"], event["sequence"], event.start, event.end)
        for file in files
        for event in Calendar.from_ical(file).events
        if not event["summary"].startswith("Before")
    }

    assert len(told) == 1


def test_time_before_and_after_a_session_is_taken_by_events_of_its_own(room, feed, read):
    reservation = taken(room, title="Overdubs", before=30, after=15)

    events = {str(event["summary"]).split()[0]: event for event in read(feed).events}

    half, ended = timedelta(minutes=30), TEN_O_CLOCK + 4 * HOUR
    assert (events["Before"].start, events["Before"].end) == (TEN_O_CLOCK - half, TEN_O_CLOCK)
    assert (events["After"].start, events["After"].end) == (ended, ended + half / 2)
    assert len({event["uid"] for event in events.values()}) == 3
    assert {event["transp"] for event in events.values()} == {"OPAQUE"}
    reservation.session.status = Status.CANCELLED
    reservation.session.save()
    assert len(read(feed).events) == 1


def test_whole_house_reads_who_is_where_once(room, manager, read):
    feed, _ = FeedAddress.make(by=manager, whole_house=True)
    reservation = taken(room, before=45)
    ReservationFactory(session=reservation.session, room=RoomFactory(name="Bread Room"))
    ulric = PersonFactory(name="Ulric Yarrell")
    ReservationFactory(session=reservation.session, room=None, person=ulric)
    taken(RoomFactory(), rank=None, status=Status.ENQUIRY)
    block = BlockFactory(kind=BlockKind.HOUSE, title="Open day", starts_at=TEN_O_CLOCK + 9 * HOUR)
    ReservationFactory(
        session=None,
        block=block,
        room=room,
        starts_at=block.starts_at,
        ends_at=block.ends_at,
    )

    calendar = read(feed)

    assert calendar["name"] == "Quay Steps Studio"
    session, block = calendar.events
    assert session["location"] == "Bread Room, Rope Floor, Quay Steps Studio"
    assert session["description"].split("\n")[3:] == [
        "People: Ulric Yarrell",
        "Rope Floor: before, 45 min: Mon 1 Jun 2026, 10:15 to 11:00",
    ]
    assert block["summary"] == "House use: Open day"


def test_second_hold_leaves_the_time_free_in_the_feed_of_the_house(room, manager, read):
    feed, _ = FeedAddress.make(by=manager, whole_house=True)
    taken(room, status=Status.HELD, rank=2, title="Overdubs", project__artist="Four Men")

    (event,) = read(feed).events

    assert (event["summary"], event["transp"]) == (
        "Overdubs: Four Men (second hold)",
        "TRANSPARENT",
    )


def test_who_is_missing_from_a_session_is_in_no_feed_of_it(room, manager, read):
    ulric = PersonFactory(name="Ulric Yarrell")
    session = taken(room).session
    ReservationFactory(session=session, room=None, person=ulric, rank=None, missing=True)

    assert read(FeedAddress.make(by=manager, person=ulric)[0]).events == []
    (event,) = read(FeedAddress.make(by=manager, whole_house=True)[0]).events
    assert event["transp"] == "OPAQUE"
    assert "Ulric" not in event["description"]


# RFC 5545, section 3.6.1: DTEND is the day after the last; 28 March 2026 has 24 h, the 29th 23 h
def test_leave_of_whole_days_is_dates_across_a_clock_change(manager, read):
    person = PersonFactory(name="Ulric Yarrell", bookable=True)
    feed, _ = FeedAddress.make(by=manager, person=person)
    leave_of(person, midnight(date(2026, 3, 28)), midnight(date(2026, 3, 30)))

    file = feed_file(feed, now=TEN_O_CLOCK)
    (event,) = Calendar.from_ical(file).events

    assert b"DTSTART;VALUE=DATE:20260328\r\n" in file
    assert b"DTEND;VALUE=DATE:20260330\r\n" in file
    assert b"VTIMEZONE" not in file
    assert event.duration == timedelta(days=2)
    days = recurring_ical_events.of(Calendar.from_ical(file))
    found = [len(days.at((2026, 3, day))) for day in (27, 28, 29, 30)]
    assert found == [0, 1, 1, 0]


def test_leave_of_half_a_day_is_a_time(manager, read):
    person = PersonFactory(bookable=True)
    feed, _ = FeedAddress.make(by=manager, person=person)
    leave_of(person, midnight(date(2026, 3, 28)), midnight(date(2026, 3, 28)) + 12 * HOUR)

    (event,) = read(feed).events

    assert event.duration == 12 * HOUR


def test_reason_for_leave_is_in_no_feed(manager, room):
    person = PersonFactory(name="Ulric Yarrell", bookable=True)
    leave_of(person, TEN_O_CLOCK, TEN_O_CLOCK + HOUR, title="Operation", note="Back is bad")

    for of in ({"person": person}, {"whole_house": True}):
        file = feed_file(FeedAddress.make(by=manager, **of)[0], now=TEN_O_CLOCK)
        assert b"Leave: Ulric Yarrell" in file
        assert b"Operation" not in file
        assert b"Back is bad" not in file


@pytest.mark.parametrize(
    ("status", "rank", "told", "busy", "words"),
    [
        (Status.HELD, 1, "TENTATIVE", "OPAQUE", "Overdubs: Four Men (first hold)"),
        (Status.HELD, 2, "TENTATIVE", "TRANSPARENT", "Overdubs: Four Men (second hold)"),
        (Status.CONFIRMED, 1, "CONFIRMED", "OPAQUE", "Overdubs: Four Men"),
        (Status.UNDER_WAY, 1, "CONFIRMED", "OPAQUE", "Overdubs: Four Men"),
        (Status.WRAPPED, 1, "CONFIRMED", "OPAQUE", "Overdubs: Four Men"),
        (Status.CANCELLED, None, "CANCELLED", "TRANSPARENT", "Overdubs: Four Men (cancelled)"),
    ],
)
def test_status_is_told_by_rfc_5545_section_3_8_1_11(
    room, feed, read, status, rank, told, busy, words
):
    project = ProjectFactory(artist="Four Men")
    taken(room, rank=rank, project=project, status=status, title="Overdubs")

    (event,) = read(feed).events

    assert (event["status"], event["transp"], event["summary"]) == (told, busy, words)


def test_enquiries_and_other_rooms_are_not_in_it(room, feed, read):
    taken(room, rank=None, status=Status.ENQUIRY)
    taken(RoomFactory())

    assert read(feed).events == []


def test_cancelled_session_stays_for_sixty_days(room, feed, read):
    taken(
        room,
        rank=None,
        status=Status.CANCELLED,
        status_since=datetime(2026, 6, 1, 12, tzinfo=UTC),
    )

    assert len(read(feed, datetime(2026, 7, 31, 22, tzinfo=UTC)).events) == 1
    assert read(feed, datetime(2026, 7, 31, 23, 30, tzinfo=UTC)).events == []  # 1 August there


def test_session_that_is_over_stays_for_ninety_days(room, feed, read):
    taken(room)

    assert len(read(feed, TEN_O_CLOCK + timedelta(days=90)).events) == 1
    assert read(feed, TEN_O_CLOCK + timedelta(days=92)).events == []


def test_block_is_an_event(room, feed, read):
    block = Block.objects.create(
        kind=BlockKind.MAINTENANCE,
        title="Console serviced",
        starts_at=TEN_O_CLOCK,
        ends_at=TEN_O_CLOCK + HOUR,
        version=3,
    )
    Reservation.objects.create(
        block=block, room=room, rank=1, starts_at=block.starts_at, ends_at=block.ends_at
    )

    (event,) = read(feed).events

    assert event["summary"] == "Maintenance: Console serviced"
    assert event["location"] == "Rope Floor, Quay Steps Studio"
    assert (event["status"], event["sequence"], event.duration) == ("CONFIRMED", 2, HOUR)


def test_person_reads_which_rooms_they_are_needed_in(room, manager, read):
    person = PersonFactory(bookable=True)
    reservation = taken(room)
    ReservationFactory(session=reservation.session, room=RoomFactory(name="Bread Room"), rank=1)
    ReservationFactory(session=reservation.session, room=None, person=person)
    feed, _ = FeedAddress.make(by=manager, person=person)

    (event,) = read(feed).events

    assert event["location"] == "Bread Room, Rope Floor, Quay Steps Studio"


def test_mix_engineer_reads_only_sessions_of_their_projects(mix_engineer, mixed_project, read):
    feed = FeedAddressFactory(person=mix_engineer.person)
    for project in (mixed_project, ProjectFactory()):
        session = RecordingSessionFactory(
            project=project, title=str(project), starts_at=TEN_O_CLOCK + project.pk * 5 * HOUR
        )
        ReservationFactory(session=session, room=None, person=mix_engineer.person)

    (event,) = read(feed).events

    assert event["summary"].startswith(str(mixed_project))


def test_no_phone_number_and_no_note_leaves_the_house(room, feed):
    person = PersonFactory(phone="01632 960 001", email="orla@quay-steps.example")
    reservation = taken(room, note="Bring the cheque")
    ReservationFactory(session=reservation.session, room=None, person=person)

    file = feed_file(feed, now=TEN_O_CLOCK)

    for word in (b"960 001", b"orla@", b"cheque"):
        assert word not in file


def test_uid_is_a_uuid_that_stays_and_differs_between_houses(room, feed, read, manager):
    reservation = taken(room, status=Status.HELD)
    (first,) = read(feed).events

    set_status(reservation.session, to=Status.CONFIRMED, by=manager)
    (second,) = read(feed).events

    assert UUID(first["uid"]).version == 5
    assert second["uid"] == first["uid"]
    assert second["sequence"] > first["sequence"]
    HouseRules.to_edit()
    assert read(feed).events[0]["uid"] == first["uid"]
    HouseRules.objects.update(calendar_namespace=UUID(int=1))
    assert read(feed).events[0]["uid"] != first["uid"]


def test_feed_says_its_name_and_how_often_to_ask_by_rfc_7986(room, feed):
    lines = feed_file(feed, now=TEN_O_CLOCK).decode().split("\r\n")

    assert "NAME:Rope Floor" in lines
    assert "REFRESH-INTERVAL;VALUE=DURATION:PT15M" in lines
    assert [line for line in lines if line.startswith("UID:")]


def test_feed_read_back_gives_the_same_events_on_every_day_of_a_busy_month(room, feed, read):
    """Against an outside reader: what recurring-ical-events finds on a day is what we have then."""
    reservations = [
        taken(room, starts_at=TEN_O_CLOCK + number * 7 * HOUR, before=number % 3 * 30)
        for number in range(1, 60)
    ]
    periods = [
        period
        for each in reservations
        for period in ((each.starts_at, each.ready_at), (each.ready_at, each.ends_at))
        if period[0] < period[1]
    ]
    calendar = recurring_ical_events.of(read(feed))

    for day in range(1, 20):
        start = TEN_O_CLOCK + timedelta(days=day)
        end = start + timedelta(days=1)
        assert sorted((event.start, event.end) for event in calendar.between(start, end)) == [
            period for period in periods if period[0] < end and start < period[1]
        ]


# Anything that can be typed and stored: PostgreSQL refuses NUL, UTF-8 refuses lone surrogates.
TEXT = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=100)


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(title=TEXT, artist=TEXT)
def test_any_name_survives(room, feed, read, title, artist):
    project = ProjectFactory(artist=artist)
    reservation = taken(room, project=project, title=title)

    (event,) = read(feed).events
    file = feed_file(feed, now=TEN_O_CLOCK)

    assert event["summary"] == plain(f"{title}: {artist}")
    assert max(len(line) for line in file.split(b"\r\n")) <= 75  # RFC 5545, section 3.1
    reservation.delete()


def test_commas_semicolons_lines_and_emoji_survive_as_they_are(room, feed, read):
    room.name = "Loft, upper; left \\ right 🎻"
    room.save()
    feed.refresh_from_db()
    project = ProjectFactory(artist="The Windlass Four, with: friends; \U0001f6a2" * 2)
    taken(room, title="Verse 1;\nVerse 2, “Slow\\down”", project=project)

    (event,) = read(feed).events

    assert event["summary"] == f"Verse 1;\nVerse 2, “Slow\\down”: {project.artist}"
    assert event["location"] == "Loft, upper; left \\ right 🎻, Quay Steps Studio"


@pytest.mark.parametrize("rows", [1, 3])
def test_feed_costs_the_same_queries_for_any_number_of_events(
    room, feed, rows, django_assert_num_queries
):
    HouseRules.to_edit()
    for number in range(rows):
        taken(room, starts_at=TEN_O_CLOCK + number * 5 * HOUR)
    block = Block.objects.create(
        kind=BlockKind.HOUSE,
        title="Open day",
        starts_at=TEN_O_CLOCK - HOUR,
        ends_at=TEN_O_CLOCK,
    )
    Reservation.objects.create(
        block=block, room=room, rank=1, starts_at=block.starts_at, ends_at=block.ends_at
    )
    feed = FeedAddress.objects.select_related("room", "person__user").get(pk=feed.pk)

    with django_assert_num_queries(6):
        feed_file(feed, now=TEN_O_CLOCK)


def test_last_change_is_the_newest_of_anything_that_a_feed_shows(room, feed, time_machine_to):
    reservation = taken(room)
    project = reservation.session.project
    later = datetime(2026, 12, 1, 15, tzinfo=UTC)

    with time_machine_to(later):
        project.artist = "The Windlass Five"
        project.save()

    assert last_change(now=later + HOUR) == later


def test_last_change_counts_a_room_that_was_given_up(room, feed, time_machine_to):
    reservation = taken(room)
    later = datetime(2026, 12, 1, 15, tzinfo=UTC)

    with time_machine_to(later):
        reservation.delete()

    assert last_change(now=later + HOUR) == later


def test_last_change_is_no_older_than_the_day(room, feed):
    """Events leave a feed when a day begins."""
    far_ahead = datetime(2036, 7, 1, 12, tzinfo=UTC)

    assert last_change(now=far_ahead) == datetime(2036, 6, 30, 23, tzinfo=UTC)


def test_reservation_without_history_is_dated_by_the_feed(room, feed, read):
    [session] = RecordingSession.objects.bulk_create(
        [RecordingSessionFactory.build(project=ProjectFactory())]
    )
    Reservation.objects.bulk_create(
        [
            Reservation(
                session=session,
                room=room,
                rank=1,
                starts_at=session.starts_at,
                ends_at=session.ends_at,
            )
        ]
    )

    (event,) = read(feed).events

    assert event["dtstamp"].dt == feed.made_at.replace(microsecond=0)


def test_feed_of_somebody_who_has_left_does_not_stand():
    left = FeedAddressFactory(person__retired=True)
    shut_out = FeedAddressFactory(person__user=UserFactory(is_active=False))
    here = FeedAddressFactory(person__user=UserFactory())
    nobody = FeedAddressFactory()

    standing = set(FeedAddress.objects.standing(datetime.now(UTC)))

    assert standing == {here, nobody}
    assert {left, shut_out}.isdisjoint(standing)
