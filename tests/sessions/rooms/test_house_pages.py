"""Hours and blocks: what is typed, and what comes back."""

from datetime import UTC, datetime, time

import pytest
from django.urls import reverse

from sessions.bookings.models import Block
from sessions.rooms.models import Room, WeeklyHours
from tests.factories import (
    BlockFactory,
    PersonFactory,
    ReservationFactory,
    RoomFactory,
    WeeklyHoursFactory,
)
from tests.sessions.bookings.days import booked, hours

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 5, 25, 9, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _a_week_before(time_machine):
    time_machine.move_to(NOW)


@pytest.fixture
def wish():
    """11:00 to 15:00 in London on the first of June."""
    return {
        "kind": "maintenance",
        "title": "Piano tuning",
        "starts_at": "2026-06-01T11:00",
        "ends_at": "2026-06-01T15:00",
        "rooms": [RoomFactory(name="Bread Room").pk],
        "note": "Both pianos",
    }


def blocked(room):
    block = BlockFactory(title="Piano tuning")
    ReservationFactory(
        session=None, block=block, room=room, starts_at=block.starts_at, ends_at=block.ends_at
    )
    return block


# Blocks


def test_block_is_made(client_of, manager, wish):
    response = client_of(manager).post(reverse("blocks:create"), wish)

    block = Block.objects.get()
    assert response.url == reverse("blocks:list")
    assert (block.title, block.kind, block.starts_at, block.ends_at) == (
        "Piano tuning",
        "maintenance",
        *hours(10, 14),
    )
    assert block.history.get().history_user == manager


def test_block_over_a_session_first_shows_what_it_takes_and_stays_typed(client_of, manager, wish):
    booked(manager, title="Overdubs", start=13, end=16, rooms=[Room.objects.get()])

    response = client_of(manager).post(reverse("blocks:create"), wish)

    form = response.context["form"]
    assert not form.errors
    assert [str(need.session) for need in response.context["taken"].form.needs] == ["Overdubs"]
    assert "Overdubs" in response.text
    assert (form["title"].value(), form["starts_at"].value()) == (
        "Piano tuning",
        "2026-06-01T11:00",
    )
    assert not Block.objects.exists()


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("ends_at", "2026-06-01T11:00", "The end must be after the start."),
        ("ends_at", "2066-06-01T11:00", "A block is at most 366 days long."),
        ("starts_at", "2026-03-29T01:30", "There is no 01:30 on Sun 29 Mar 2026"),
        ("title", "", "This field is required."),
        ("kind", "", "This field is required."),
        ("kind", "party", "Select a valid choice."),
        ("rooms", [], "Nothing is blocked yet"),
    ],
)
def test_block_names_what_is_wrong_beside_the_field(
    client_of, manager, wish, field, typed, sentence
):
    wish[field] = typed

    response = client_of(manager).post(reverse("blocks:create"), wish)

    errors = response.context["form"].errors
    assert list(errors) == [field]
    assert errors[field][0].startswith(sentence)
    assert not Block.objects.exists()


def test_block_form_starts_with_what_the_address_names(client_of, manager):
    person = PersonFactory(name="Ulric Yarrell", bookable=True)

    page = client_of(manager).get(reverse("blocks:create"), {"person": person.pk, "kind": "leave"})

    form = page.context["form"]
    assert (form["kind"].value(), form["people"].value()) == ("leave", [str(person.pk)])


def test_block_is_changed(client_of, manager, wish):
    client = client_of(manager)
    client.post(reverse("blocks:create"), wish)
    url = reverse("blocks:edit", args=[Block.objects.get().pk])
    seen = client.get(url).context["seen"]

    response = client.post(url, wish | {"ends_at": "2026-06-01T16:00", "seen": seen})

    assert response.url == reverse("blocks:list")
    assert Block.objects.get().reservations.get().ends_at == hours(10, 15)[1]


def test_block_of_a_second_editor_shows_both_versions(client_of, manager, wish):
    client = client_of(manager)
    client.post(reverse("blocks:create"), wish)
    url = reverse("blocks:edit", args=[Block.objects.get().pk])
    client.post(url, wish | {"title": "First editor", "seen": "1"})

    response = client.post(url, wish | {"title": "Second editor", "seen": "1"})

    assert response.status_code == 409
    assert response.context["meanwhile"].differences == [("Title", "First editor", "Second editor")]
    assert client.post(url, wish | {"title": "Second", "seen": "2"}).status_code == 302


def test_block_is_removed_after_it_was_asked_about(client_of, manager):
    block = blocked(RoomFactory())
    client, url = client_of(manager), reverse("blocks:remove", args=[block.pk])

    page = client.get(url).text

    assert "Remove “Piano tuning”, Mon 1 Jun 2026, 11:00 to 15:00?" in page
    assert not Block.objects.get().removed
    assert client.post(url).url == reverse("blocks:list")
    assert Block.objects.get().removed
    assert client.get(url).status_code == 404
    assert client.get(reverse("blocks:edit", args=[block.pk])).status_code == 404


def test_blocks_are_listed_by_when_and_kind(client_of, assistant):
    BlockFactory(title="To come", kind="leave")
    BlockFactory(title="Long past", starts_at=NOW.replace(month=1))
    BlockFactory(title="Given back", removed=True)
    client = client_of(assistant)

    def listed(**asked):
        page = client.get(reverse("blocks:list"), asked).context["table"]
        return [row.record.title for row in page.rows]

    assert listed() == ["To come"]
    assert listed(when="past") == ["Long past"]
    assert listed(when="removed") == ["Given back"]
    assert listed(when="", kind="leave") == ["To come"]


def test_blocks_show_a_reader_no_door_that_is_shut(client_of, assistant):
    blocked(RoomFactory(name="Bread Room"))

    page = client_of(assistant).get(reverse("blocks:list")).text

    assert "Bread Room" in page
    assert "/edit/" not in page
    assert "/remove/" not in page


@pytest.mark.parametrize("count", [1, 3])
def test_blocks_cost_the_same_at_any_length(client_of, manager, count, django_assert_num_queries):
    for _ in range(count):
        block = blocked(RoomFactory())
        ReservationFactory(
            session=None, block=block, starts_at=block.starts_at, ends_at=block.ends_at
        )
    client = client_of(manager)

    with django_assert_num_queries(5):
        page = client.get(reverse("blocks:list"))

    assert len(page.context["table"].rows) == count


# Hours


@pytest.mark.parametrize("count", [1, 3])
def test_hours_cost_the_same_at_any_length(client_of, assistant, count, django_assert_num_queries):
    for _ in range(count):
        WeeklyHoursFactory()
        WeeklyHoursFactory(room=None, person=PersonFactory(bookable=True))
    client = client_of(assistant)

    with django_assert_num_queries(5):
        page = client.get(reverse("rooms:hours")).text

    assert page.count("Monday 10:00 to 22:00") == 2 * count
    assert "hours/rooms" not in page


def test_hours_says_who_is_there_at_all_hours(client_of, manager):
    RoomFactory()

    assert client_of(manager).get(reverse("rooms:hours")).text.count("at any time") == 1


def test_hours_of_a_room_are_written(client_of, manager):
    room = WeeklyHoursFactory().room
    client, url = client_of(manager), reverse("rooms:room_hours", args=[room.pk])
    page = client.get(url)
    assert 'value="10:00"' in page.text

    response = client.post(
        url,
        {
            "seen": page.context["seen"],
            "opens_0_1": "10:00",
            "closes_0_1": "13:00",
            "opens_0_2": "14:00",
            "closes_0_2": "02:00",
            "opens_4_1": "18:00",
            "closes_4_1": "18:00",
        },
    )

    assert response.url == reverse("rooms:hours")
    assert [(row.weekday, row.opens, row.closes) for row in room.hours.all()] == [
        (0, time(10), time(13)),
        (0, time(14), time(2)),
        (4, time(18), time(18)),
    ]


def test_hours_offer_one_spell_more_than_a_day_has(client_of, manager):
    room = RoomFactory()
    url, client = reverse("rooms:room_hours", args=[room.pk]), client_of(manager)
    spells = {"opens_0_1": "09:00", "closes_0_1": "11:00", "opens_0_2": "12:00"}
    spells |= {"closes_0_2": "15:00", "seen": client.get(url).context["seen"]}
    assert "opens_0_3" not in client.get(url).text
    client.post(url, spells)

    page = client.get(url)
    assert "opens_0_3" in page.text
    third = {"opens_0_3": "18:00", "closes_0_3": "23:00", "seen": page.context["seen"]}
    client.post(url, spells | third)

    assert room.hours.count() == 3


def test_hours_of_a_person_are_taken_away(client_of, manager):
    person = PersonFactory()
    WeeklyHoursFactory(room=None, person=person)
    client, url = client_of(manager), reverse("rooms:person_hours", args=[person.pk])

    client.post(url, {"seen": client.get(url).context["seen"]})

    assert not WeeklyHours.objects.exists()


@pytest.mark.parametrize(
    ("typed", "field", "sentence"),
    [
        (
            {"opens_0_1": "10:00"},
            "closes_0_1",
            "Enter the closing time as well, or leave both empty.",
        ),
        (
            {"closes_6_2": "10:00"},
            "opens_6_2",
            "Enter the opening time as well, or leave both empty.",
        ),
        ({"opens_0_1": "ten", "closes_0_1": "12:00"}, "opens_0_1", "Enter a time, such as 10:00."),
        (
            {
                "opens_0_1": "10:00",
                "closes_0_1": "14:00",
                "opens_0_2": "13:00",
                "closes_0_2": "15:00",
            },
            "opens_0_2",
            "Start after the first period has ended, or leave this empty.",
        ),
        (
            {
                "opens_0_1": "10:00",
                "closes_0_1": "02:00",
                "opens_0_2": "13:00",
                "closes_0_2": "15:00",
            },
            "opens_0_2",
            "Start after the first period has ended, or leave this empty.",
        ),
    ],
)
def test_hours_name_what_is_wrong_beside_the_field(client_of, manager, typed, field, sentence):
    room = RoomFactory()

    response = client_of(manager).post(
        reverse("rooms:room_hours", args=[room.pk]), typed | {"seen": "None"}
    )

    form = response.context["form"]
    assert form.errors == {field: [sentence]}
    assert {name: form[name].value() for name in typed} == typed
    assert sentence in response.text
    assert not WeeklyHours.objects.exists()


def test_hours_of_a_second_editor_show_both_versions(client_of, manager):
    room = RoomFactory(name="Bread Room")
    client, url = client_of(manager), reverse("rooms:room_hours", args=[room.pk])
    seen = client.get(url).context["seen"]
    client.post(url, {"seen": seen, "opens_0_1": "10:00", "closes_0_1": "22:00"})

    response = client.post(url, {"seen": seen, "opens_0_1": "11:00", "closes_0_1": "22:00"})

    assert response.status_code == 409
    assert response.context["meanwhile"].differences == [
        ("Monday", "10:00 to 22:00", "11:00 to 22:00")
    ]
    assert room.hours.get().opens == time(10)
    mine = {"seen": response.context["seen"], "opens_0_1": "11:00", "closes_0_1": "22:00"}
    assert client.post(url, mine).status_code == 302
    assert room.hours.get().opens == time(11)
