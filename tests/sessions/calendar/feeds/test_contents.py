"""What a feed says of its room or person, as icalendar and recurring-ical-events read it back."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest
import recurring_ical_events
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sessions.bookings.actions import set_status
from sessions.bookings.models import Block, BlockKind, RecordingSession, Reservation, Status
from sessions.calendar.feeds.contents import feed_file, last_change
from sessions.calendar.feeds.models import FeedAddress
from sessions.ical.events import plain
from sessions.rooms.models import HouseRules
from tests.factories import (
    TEN_O_CLOCK,
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
    reservation = taken(room, project=project, title="Group vocals", before=30, after=15)

    (event,) = read(feed).events

    assert event.start == TEN_O_CLOCK - timedelta(minutes=30)
    assert event.end == TEN_O_CLOCK + timedelta(hours=4, minutes=15)
    assert event["summary"] == "Group vocals: Four Men"
    assert event["location"] == "Rope Floor, Quay Steps Studio"
    assert (event["status"], event["transp"], event["sequence"]) == ("CONFIRMED", "OPAQUE", 0)
    changed = reservation.history.first().history_date.replace(microsecond=0)
    assert event["last-modified"].dt == event["dtstamp"].dt == changed
    assert event["description"].split("\n") == [
        "Neap and Spring, Four Men",
        "Client: Thole & Ledger",
        "Status: confirmed",
        "Session: Mon 1 Jun 2026, 11:00 to 15:00",
        "Before, 30 min: Mon 1 Jun 2026, 10:30 to 11:00",
        "After, 15 min: Mon 1 Jun 2026, 15:00 to 15:15",
    ]


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
    calendar = recurring_ical_events.of(read(feed))

    for day in range(1, 20):
        start = TEN_O_CLOCK + timedelta(days=day)
        end = start + timedelta(days=1)
        assert sorted((event.start, event.end) for event in calendar.between(start, end)) == [
            (each.starts_at, each.ends_at)
            for each in reservations
            if each.starts_at < end and start < each.ends_at
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
    HouseRules.current()
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

    with django_assert_num_queries(4):
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
    session = RecordingSessionFactory()
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
    RecordingSession.history.all().delete()

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
