"""The pages of the schedule, through the web. The first of June 2026 is a Monday."""

import re
from datetime import UTC, datetime, time, timedelta

import pytest
import time_machine
from django.urls import reverse

from gear.equipment.models import UnitState
from sessions.bookings.models import Block, BlockKind, Status, WorkedHours
from sessions.desk.schedule.shown import ON_A_PAGE
from sessions.rooms.models import WeeklyHours
from tests.factories import (
    PersonFactory,
    ProjectFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    UnitFactory,
)
from tests.sessions.bookings.days import hours

pytestmark = pytest.mark.django_db
SPANS = ["day", "week", "month"]
BEFORE = datetime(2026, 5, 20, 12, tzinfo=UTC)
ARRIVING = datetime(2026, 6, 1, 12, 20, tzinfo=UTC)  # 13:20 on the studio's clock


@pytest.fixture(autouse=True)
def _in_may():
    with time_machine.travel(BEFORE, tick=False):
        yield


def session(title="Overdubs", start=10, end=14, **fields):
    """Hours of UTC; the studio's clock is one ahead."""
    starts_at, ends_at = hours(start, end)
    return RecordingSessionFactory(title=title, starts_at=starts_at, ends_at=ends_at, **fields)


def reserved(session, *, before=0, after=0, **of):
    if not {"room", "person", "unit"} & set(of):
        of["room"] = RoomFactory()
    return ReservationFactory(
        session=session,
        starts_at=session.starts_at - timedelta(minutes=before),
        ends_at=session.ends_at + timedelta(minutes=after),
        before_minutes=before,
        after_minutes=after,
        **({"room": None} | of),
    )


def blocked(title, start, end, kind=BlockKind.MAINTENANCE, removed=False, **of):
    starts_at, ends_at = hours(start, end)
    block = Block.objects.create(
        kind=kind, title=title, starts_at=starts_at, ends_at=ends_at, removed=removed
    )
    ReservationFactory(
        session=None, block=block, starts_at=starts_at, ends_at=ends_at, **({"room": None} | of)
    )
    return block


def opened(web, span="day", day="2026-06-01", **asked):
    return web.get(reverse(f"schedule:{span}"), {"day": day, **asked})


def text_of(page) -> str:
    """What a reader hears, in order: the words between the tags."""
    main = page.text.partition("<table")[2].partition("<details")[0]
    return " ".join(re.sub(r"<[^>]+>", " ", main).split())


@pytest.mark.parametrize("span", SPANS)
@pytest.mark.parametrize("count", [1, 3, 21])
def test_page_costs_the_same_however_full(
    client_of, manager, span, count, django_assert_num_queries
):
    """One, three, and three a day for a week, each with people, equipment and planned hours."""
    rooms = [RoomFactory(), RoomFactory(), RoomFactory()]
    for number in range(count):
        start = 10 + 24 * (number // 3)
        booked = session(start=start, end=start + 4, lockout=True)
        reserved(booked, room=rooms[number % 3], before=30)
        WorkedHours.objects.create(
            session=booked, kind="planned", starts_at=booked.starts_at, ends_at=booked.ends_at
        )
        WeeklyHours.objects.create(
            room=rooms[number % 3], weekday=number // 3, opens=time(8), closes=time(23)
        )
        blocked("Service", start + 6, start + 7, room=rooms[number % 3])
    client = client_of(manager)

    with django_assert_num_queries(8):
        page = opened(client, span)

    assert page.text.count("Overdubs") >= min(count, 3)


@pytest.mark.parametrize("span", SPANS)
@pytest.mark.parametrize("show", ["rooms", "people", "equipment"])
def test_session_is_in_the_diary_of_all_that_it_takes(client_of, engineer, span, show):
    booked = session("Brass")
    reserved(booked, room=RoomFactory(name="Bread Room"))
    reserved(booked, person=PersonFactory(name="Piran Tolle", bookable=True))
    reserved(booked, unit=UnitFactory(asset_tag="QS-77"))
    named = {"rooms": "Bread Room", "people": "Piran Tolle", "equipment": "QS-77"}

    words = text_of(opened(client_of(engineer), span, show=show))

    assert "Brass" in words
    assert "11:00 to 15:00" in words
    assert [show for show, name in named.items() if name in words] == [show]


@pytest.mark.parametrize("span", SPANS)
def test_touching_day_does_not_show_it(client_of, engineer, span):
    """Half-open: what ends at midnight is not on the next day, week or month."""
    starts_at, ends_at = hours(-5, -1)  # to midnight of the studio's clock
    reserved(RecordingSessionFactory(title="Night", starts_at=starts_at, ends_at=ends_at))
    web = client_of(engineer)

    assert "Night" in text_of(opened(web, span, day="2026-05-31"))
    assert "Night" not in text_of(opened(web, span, day="2026-06-02"))


def test_session_over_midnight_is_on_both_days_and_says_so(client_of, engineer):
    reserved(session("Night chorus", 21, 26))
    web = client_of(engineer)

    assert "22:00, continues to Tue 2 Jun, 03:00" in text_of(opened(web))
    assert "continued from Mon 1 Jun, 22:00, to 03:00" in text_of(opened(web, day="2026-06-02"))


def test_holds_are_told_by_line_and_word(client_of, engineer):
    room = RoomFactory()
    for rank, title in ((1, "One"), (2, "Two"), (3, "Three")):
        reserved(session(title, status=Status.HELD), room=room, rank=rank)

    page = opened(client_of(engineer))

    cells = re.findall(r'<td class="thing ([\w-]+)"[^>]*>.*?>(One|Two|Three)<', page.text, re.S)
    assert cells == [("first-hold", "One"), ("second-hold", "Two"), ("later-hold", "Three")]
    assert re.findall(r"\w+ hold", text_of(page)) == ["first hold", "second hold", "third hold"]


def test_padding_and_lockout_are_told_in_words(client_of, engineer):
    booked = session("EP lockout", 10, 34, lockout=True)
    reserved(booked, room=RoomFactory(), before=30, after=45)
    WorkedHours.objects.create(
        session=booked, kind="planned", starts_at=hours(10, 18)[0], ends_at=hours(10, 18)[1]
    )

    first, second = (
        text_of(opened(client_of(engineer), day=day)) for day in ("2026-06-01", "2026-06-02")
    )

    assert ["load-in 30 min" in first, "hours worked" in first, "kept overnight" in first] == [
        True
    ] * 3
    assert ["load-in" in second, "kept overnight" in second, "teardown 45 min" in second] == [
        False,
        True,
        True,
    ]


def test_enquiry_is_shown_and_a_cancelled_session_not(client_of, engineer):
    room = RoomFactory()
    reserved(session("Maybe", status=Status.ENQUIRY), room=room, rank=None)
    reserved(session("Gone", status=Status.CANCELLED), room=room, rank=None)

    words = text_of(opened(client_of(engineer)))

    assert ("Maybe" in words, "enquiry" in words, "Gone" in words) == (True, True, False)


@pytest.mark.parametrize("kind", BlockKind)
def test_block_is_shown_with_its_kind_until_it_is_removed(client_of, engineer, kind):
    room = RoomFactory()
    blocked("Console service", 8, 12, kind=kind, room=room)
    blocked("Called off", 14, 16, removed=True, room=room, rank=None)

    words = text_of(opened(client_of(engineer)))

    assert "Console service" in words
    assert kind.label.lower() in words
    assert "Called off" not in words


def test_long_block_that_began_long_ago_is_shown(client_of, engineer):
    blocked("Rebuilding", -24 * 200, 24 * 30, kind=BlockKind.HOUSE, room=RoomFactory())

    assert "Rebuilding" in text_of(opened(client_of(engineer)))


def test_longest_session_with_the_longest_padding_is_shown_to_its_last_minute(client_of, engineer):
    """31 days and a day of teardown: the search must look back that far."""
    reserved(session("Residency", 10 - 31 * 24, 10), before=24 * 60, after=23 * 60)

    web = client_of(engineer)

    assert "teardown 23 h" in text_of(opened(web, day="2026-06-02"))
    assert "Residency" not in text_of(opened(web, day="2026-06-03"))


def test_present_moment_is_marked_with_its_time(client_of, engineer):
    reserved(session(), room=RoomFactory())

    with time_machine.travel(ARRIVING, tick=False):
        web = client_of(engineer)
        today, tomorrow = opened(web), opened(web, day="2026-06-02")
        week, month = opened(web, "week"), opened(web, "month")

    assert "Now 13:20" in text_of(today)
    assert re.findall(r'class="now-line (m\d+)"', today.text) == ["m20"]  # of the hour from 13:00
    assert "Now " not in text_of(tomorrow)
    assert "Today, 13:20" in text_of(week)
    assert "today" in text_of(month)


def test_closed_time_follows_the_hours(client_of, engineer):
    room = RoomFactory()
    WeeklyHours.objects.create(room=room, weekday=0, opens=time(10), closes=time(2))
    web = client_of(engineer)

    monday, tuesday = opened(web), opened(web, day="2026-06-02")

    def rows(page):
        return dict(re.findall(r'class="time">([^<]+)</span></th>\s*<td class="(\w+)', page.text))

    assert list(rows(monday).items())[:2] == [("00:00 to 10:00", "folded"), ("10:00", "free")]
    assert rows(monday)["23:00"] == "free"
    assert list(rows(tuesday).items()) == [  # Monday's evening goes on until 02:00
        ("00:00", "free"),
        ("01:00", "free"),
        ("02:00 to 00:00", "folded"),
    ]
    assert rows(opened(web, hours="all"))["00:00"] == "closed"
    hours = re.findall(r'data-length="60">(\d\d)<', opened(web, "week").text)
    assert hours == ["00", "01", *(f"{hour}" for hour in range(10, 24))]


@pytest.mark.parametrize(("day", "rows"), [("2026-03-29", 23), ("2026-10-25", 25)])
def test_day_of_a_clock_change_has_its_real_hours(client_of, engineer, day, rows):
    RoomFactory()

    page = opened(client_of(engineer), day=day)

    assert page.text.count('<th scope="row"') == rows
    assert page.text.count('<tr class="m60 hour"') == rows
    assert f"This day is {rows} h long." in page.text


def test_free_time_is_a_door_to_a_booking_that_starts_there(client_of, manager):
    room = RoomFactory(name="Bread Room")
    web = client_of(manager)

    page = opened(web)

    [address] = re.findall(r'href="(/sessions/new/[^"]*T14:00&amp;next=[^"]*)"', page.text)
    booking = web.get(address.replace("&amp;", "&"))
    form = booking.context["form"]
    here = "/schedule/day/?day=2026-06-01&show=rooms"
    assert booking.context["back"] == here
    wish = {"project": ProjectFactory().pk, "title": "Brass", "status": "held", "rooms": [room.pk]}
    wish |= {"starts_at": "2026-06-01T14:00", "ends_at": "2026-06-01T18:00"}
    answer = web.post(address.replace("&amp;", "&"), wish)
    assert (answer.status_code, answer.url) == (302, here)
    assert "Brass" in text_of(web.get(here))
    assert form["starts_at"].value() == "2026-06-01T14:00"
    assert [str(key) for key in form["rooms"].value()] == [str(room.pk)]


def test_booking_starts_with_the_person_or_unit_whose_time_was_free(client_of, manager):
    person = PersonFactory(bookable=True)
    unit = UnitFactory()
    reserved(session(), unit=unit)
    web = client_of(manager)

    people = opened(web, "week", show="people").text
    equipment = opened(web, "week", show="equipment").text

    assert f"/sessions/new/?person={person.pk}&amp;starts=2026-06-01T00:00" in people
    assert f"/sessions/new/?unit={unit.pk}&amp;starts=2026-06-01T15:00" in equipment


@pytest.mark.parametrize("span", ["day", "week"])
def test_free_time_is_no_door_for_who_does_not_book_nor_in_the_past(
    client_of, engineer, manager, span
):
    RoomFactory()

    assert "/sessions/new/?" not in opened(client_of(engineer), span).text
    assert "/sessions/new/?room" not in opened(client_of(manager), span, day="2026-05-11").text
    assert "/sessions/new/?room" in opened(client_of(manager), span).text


@pytest.mark.parametrize("span", SPANS)
@pytest.mark.parametrize("show", ["rooms", "people", "equipment"])
def test_mix_engineer_sees_others_only_as_taken(client_of, mix_engineer, mixed_project, span, show):
    """The other session, its hold, its block and the room next door must not leak."""
    room = RoomFactory(name="Bread Room")
    person = PersonFactory(name="Piran Tolle", bookable=True)
    unit = UnitFactory(asset_tag="QS-1")
    mine = session("Mine", 10, 14, project=mixed_project)
    secret = session("Secret session", 15, 20, status=Status.HELD, project=ProjectFactory())
    shared = {"rooms": {"room": room}, "people": {"person": person}, "equipment": {"unit": unit}}
    for of in shared.values():
        reserved(mine, **of)
        reserved(secret, before=30, **of)
        blocked("Secret service", 0, 3, kind=BlockKind.LEAVE, **of)
    reserved(secret, room=RoomFactory(name="Secret room"))
    reserved(secret, person=PersonFactory(name="Secret person", bookable=True))
    reserved(secret, unit=UnitFactory(asset_tag="QS-SECRET"))
    maybe = session("Secret enquiry", 21, 22, status=Status.ENQUIRY)
    reserved(maybe, rank=None, **shared[show])

    page = opened(client_of(mix_engineer), span, show=show)

    words = page.text
    assert "Mine" in words
    assert text_of(page).count("Taken") == 2
    leaks = ["secret", "hold", "leave", secret.project.name, secret.project.client.name]
    leaks += [secret.get_absolute_url(), "load-in", "warm-up", maybe.get_absolute_url()]
    shown = text_of(page).lower() + " ".join(re.findall(r'href="([^"]+)"', words))
    assert [leak for leak in leaks if leak.lower() in shown] == []


def test_only_one_room_is_shown_if_asked(client_of, engineer):
    wanted, other = RoomFactory(name="Bread Room"), RoomFactory(name="Rope Floor")
    web = client_of(engineer)

    page = opened(web, only=wanted.pk)

    assert "Bread Room" in text_of(page)
    assert other.name not in text_of(page)
    assert f"only={wanted.pk}" in page.context["after"]
    assert all("only=" not in address for kind, address, current in page.context["kinds"][1:])
    assert "Nothing to show" in opened(web, only=999).text


def test_very_many_lines_go_on_on_another_page(client_of, engineer):
    booked = session()
    for _ in range(ON_A_PAGE + 2):
        reserved(booked, unit=UnitFactory())
    web = client_of(engineer)

    first, second = (opened(web, show="equipment", part=part) for part in (0, 1))

    assert [page.text.count("data-resource") for page in (first, second)] == [ON_A_PAGE, 2]
    assert [address for _, address, _ in first.context["parts"]][1].endswith("&part=1")


def test_equipment_shows_what_is_reserved_and_counts_the_rest(client_of, engineer):
    reserved(session(), unit=UnitFactory(asset_tag="QS-1", state=UnitState.ON_THE_BENCH))
    UnitFactory(asset_tag="QS-2")
    UnitFactory(asset_tag="QS-3", state=UnitState.RETIRED)

    page = opened(client_of(engineer), show="equipment")

    assert ("QS-1" in text_of(page), "QS-2" in text_of(page)) == (True, False)
    assert "on the bench" in text_of(page)
    assert "1 more unit is free throughout." in page.text


def test_retired_room_is_shown_only_while_it_has_something_on(client_of, engineer):
    reserved(session(), room=RoomFactory(name="Old store", retired=True))
    web = client_of(engineer)

    assert "Old store" in text_of(opened(web))
    assert "Old store" not in text_of(opened(web, day="2026-06-02"))


def test_pages_turn_by_links_and_keys(client_of, engineer):
    web = client_of(engineer)

    turned = {
        span: re.findall(r"day=([\d-]+)", page.context["before"] + page.context["after"])
        for span, page in ((span, opened(web, span)) for span in SPANS)
    }
    keys = " ".join(re.findall(r'data-key="([^"]+)"', opened(web).text)).split()

    assert turned == {
        "day": ["2026-05-31", "2026-06-02"],
        "week": ["2026-05-25", "2026-06-08"],
        "month": ["2026-05-01", "2026-07-01"],
    }
    assert sorted(keys) == ["/", "?", "arrowleft", "arrowright", *sorted("pntdwmroelh")]


@pytest.mark.parametrize("span", SPANS)
@pytest.mark.parametrize("day", ["tomorrow", "9999-12-31", "0001-01-01", "2026-02-30"])
def test_day_that_makes_no_sense_is_said_so_and_today_shown(client_of, engineer, span, day):
    page = opened(client_of(engineer), span, day=day)

    assert page.status_code == 200
    assert list(page.context["form"].errors) == ["day"]
    assert page.context["turn"].day == BEFORE.date()
    assert day in page.text  # what was typed is still there


@pytest.mark.parametrize("span", SPANS)
def test_schedule_of_an_empty_house_says_so(client_of, engineer, span):
    page = opened(client_of(engineer), span, show="equipment")

    assert page.status_code == 200
    assert span == "month" or "Nothing to show" in page.text


def test_no_style_stands_in_the_page(client_of, engineer):
    reserved(session(), room=RoomFactory())

    assert [span for span in SPANS if " style=" in opened(client_of(engineer), span).text] == []
