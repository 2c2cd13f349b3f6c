"""Where it happened, on Today, on the session, the call sheet and in the schedule: what is missing."""

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.models import Block, RecordingSession, Reservation
from sessions.desk.call_sheet import call_sheet
from sessions.letters.models import Letter
from tests.factories import (
    GearModelFactory,
    PersonFactory,
    RoomFactory,
    StageFactory,
    UnitFactory,
)

pytestmark = pytest.mark.django_db
OPEN = reverse("stand_ins:open")


@pytest.fixture
def units(db):
    """The one that will be on the bench, and another of its model, both cold."""
    model = GearModelFactory(warm_up_minutes=30)
    return [UnitFactory(model=model, asset_tag=tag) for tag in ("CO-07", "CO-08")]


def typed(block_of, day, start, end, **more):
    """What the form of a block sends."""
    when = {
        name: f"{timezone.localtime(day(hour)):%Y-%m-%dT%H:%M}"
        for name, hour in (("starts_at", start), ("ends_at", end))
    }
    return {"kind": "leave", "title": "Summer leave", "people": [block_of.pk]} | when | more


def test_fault_that_puts_a_unit_on_the_bench_shows_what_could_stand_in_at_once(
    client_of, engineer, book, units
):
    """From the report to the swap: two presses, and its warm-up is said."""
    broken, whole = units
    session = book(units=[broken])
    client = client_of(engineer)

    page = client.post(
        reverse("equipment:fault_create", args=[broken.pk]),
        {"description": "Hums.", "to_bench": "on"},
        follow=True,
    ).content.decode()

    assert "Needed by sessions to come" in page
    assert session.title in page
    assert "same model" in page
    assert "To be switched on" in page
    need = session.reservations.get(unit=broken)
    client.post(
        f"{OPEN}?unit={broken.pk}", {f"stand_in_{need.pk}": whole.pk, "told": "send"}, follow=True
    )
    assert [each.unit for each in session.reservations.filter(unit__isnull=False)] == [whole]
    assert "Needed by sessions" not in client.get(broken.get_absolute_url()).content.decode()


def test_fault_in_a_session_leads_by_way_of_its_stand_ins(client_of, assistant, book, units):
    session = book(units=units[:1])

    answer = client_of(assistant).post(
        reverse("setups:fault", args=[session.pk]),
        {"unit": units[0].pk, "description": "Hums.", "to_bench": "on", "channel": ""},
    )

    assert answer.url.startswith(f"{OPEN}?unit={units[0].pk}&next=")


def test_unit_that_returns_leaves_nothing_open(client_of, manager, book, units):
    book(units=units[:1])
    units[0].state = "on_the_bench"
    units[0].save()
    client = client_of(manager)
    assert "Find a stand-in" in client.get("/").content.decode()

    units[0].state = "in_service"
    units[0].save()

    assert "Find a stand-in" not in client.get("/").content.decode()
    assert "Nothing is missing" in client.get(OPEN).content.decode()


def test_leave_over_a_booked_day_offers_somebody_else_and_saves_both(
    client_of, manager, book, day, ulric, piran
):
    session = book(people=[ulric])
    client, address = client_of(manager), reverse("blocks:create")

    page = client.post(address, typed(ulric, day, 9, 18))

    assert not Block.objects.exists()
    assert "Sessions that need it then" in page.content.decode()
    key = session.reservations.get(person=ulric).pk
    sent = typed(ulric, day, 9, 18, over_bookings=key) | {f"stand_in_{key}": piran.pk}
    client.post(address, sent | {"told": "send"})
    assert [each.person for each in session.reservations.filter(rank=1, room=None)] == [piran]
    assert Block.objects.get().reservations.get().person == ulric
    told = {letter.to: letter.subject for letter in Letter.objects.all()}
    assert {ulric.email, piran.email} <= told.keys()


def test_who_booked_meanwhile_is_shown_before_anything_is_taken_from_them(
    client_of, manager, book, day, ulric
):
    first = book(10, 12, people=[ulric])
    client, address = client_of(manager), reverse("blocks:create")
    key = first.reservations.get(person=ulric).pk
    second = book(14, 16, people=[ulric])

    page = client.post(address, typed(ulric, day, 9, 18, over_bookings=key)).content.decode()

    assert second.title in page
    assert not Block.objects.exists()


def test_what_is_left_open_is_missing(client_of, manager, book, day, ulric):
    session = book(people=[ulric])
    client, address = client_of(manager), reverse("blocks:create")
    key = session.reservations.get(person=ulric).pk

    client.post(address, typed(ulric, day, 9, 18, over_bookings=key, told="nobody"))

    assert session.reservations.get(person=ulric).missing
    for page in ("/", session.get_absolute_url(), OPEN):
        assert "Ulric Yarrell cannot be there" in client.get(page).content.decode()


def test_illness_is_shown_to_managers_alone(client_of, manager, engineer, book, day, ulric):
    """On no page of anybody else, in no letter, on no paper, in no calendar."""
    session = book(people=[ulric])
    key = session.reservations.get(person=ulric).pk
    sent = typed(ulric, day, 9, 18, ill="on", title="Flu", note="High fever", told="send")
    client = client_of(manager)
    client.post(reverse("blocks:create"), sent | {"over_bookings": key})
    block = Block.objects.get()
    assert (block.ill, block.title) == (True, "Away")
    assert "High fever" in client.get(reverse("blocks:list")).content.decode()

    said = [
        client_of(engineer).get(address).content.decode()
        for address in (
            "/",
            reverse("blocks:list"),
            OPEN,
            session.get_absolute_url(),
            f"{reverse('schedule:day')}?show=people&day={timezone.localdate(day(10))}",
        )
    ]
    said += [f"{each.subject} {each.text} {each.html}" for each in Letter.objects.all()]
    sheet = call_sheet(RecordingSession.objects.select_related("project__client").get())
    said += sheet.open
    assert Letter.objects.filter(to=ulric.email).exists()
    for text in said:
        assert "High fever" not in text
        assert "Flu" not in text
        assert ", ill" not in text


def test_only_leave_is_of_somebody_ill(client_of, manager, day, ulric):
    sent = typed(ulric, day, 9, 18, ill="on", kind="house")

    page = client_of(manager).post(reverse("blocks:create"), sent)

    assert "Only of leave" in page.content.decode()
    assert not Block.objects.exists()


def test_engineer_swaps_units_and_nobody_elses_time(
    client_of, engineer, book, leave, ulric, piran, units
):
    session = book(people=[ulric], units=units[:1])
    units[0].state = "on_the_bench"
    units[0].save()
    leave(9, 12, ulric)
    person, unit = (
        session.reservations.get(person=ulric).pk,
        session.reservations.get(unit=units[0]).pk,
    )
    client = client_of(engineer)

    assert "A manager chooses" in client.get(OPEN).content.decode()
    client.post(
        OPEN, {f"stand_in_{person}": piran.pk, f"stand_in_{unit}": units[1].pk, "told": "nobody"}
    )

    assert session.reservations.get(person__isnull=False).person == ulric
    assert session.reservations.get(unit__isnull=False).unit == units[1]


def test_mix_engineer_finds_no_stand_ins(client_of, mix_engineer):
    assert client_of(mix_engineer).get(OPEN).status_code == 403


def test_what_is_not_free_any_more_is_said_and_nothing_saved(
    client_of, manager, book, leave, ulric, piran
):
    session = book(people=[ulric])
    leave(9, 12, ulric)
    key = session.reservations.get(person=ulric).pk
    book(people=[piran])

    page = client_of(manager).post(OPEN, {f"stand_in_{key}": piran.pk, "told": "send"})

    assert "That is not free any more" in page.content.decode()
    assert session.reservations.get(pk=key).missing


def test_chain_that_still_has_it_is_shown_with_its_swap(client_of, engineer, book, units):
    session = book()
    stage = StageFactory(unit=units[0], revision__chain__setup__session=session)
    units[0].state = "on_the_bench"
    units[0].save()

    page = client_of(engineer).get(f"{OPEN}?unit={units[0].pk}").content.decode()

    assert reverse("setups:stage_swap", args=[stage.pk]) in page


@pytest.mark.parametrize("rows", [1, 3])
def test_page_costs_the_same_however_much_is_missing(
    client_of, manager, book, leave, ulric, units, rows, django_assert_num_queries
):
    PersonFactory(does=ulric.does, bookable=True)
    for number in range(rows):
        unit = UnitFactory(model=units[0].model, state="in_service")
        book(number * 3, number * 3 + 2, people=[ulric], units=[unit])
    leave(0, 24, ulric)
    for reservation in Reservation.objects.filter(unit__isnull=False):
        reservation.unit.state = "on_the_bench"
        reservation.unit.save()
    client = client_of(manager)

    with django_assert_num_queries(10):
        page = client.get(OPEN)

    assert len(page.context["stand_ins"].form.needs) == 2 * rows


# The call sheet and the schedule


def test_call_sheet_switches_nothing_on_that_is_on_the_bench(book, units, leave, ulric):
    book(units=units, people=[ulric])
    units[0].state = "on_the_bench"
    units[0].save()
    leave(9, 12, ulric)

    sheet = call_sheet(RecordingSession.objects.select_related("project__client").get())

    assert {line.unit.asset_tag: line.why_not for line in sheet.units} == {
        "CO-07": "is on the bench",
        "CO-08": "",
    }
    assert sheet.people == ()
    assert sheet.open == (
        "Ulric Yarrell cannot be there. No stand-in is named yet.",
        f"{units[0]} is on the bench. No stand-in is named yet.",
    )


def test_schedule_marks_the_session_with_a_word_and_frees_nobody(
    client_of, manager, book, leave, day, ulric, units
):
    room = RoomFactory(name="Rope Floor")
    book(rooms=[room], people=[ulric], title="Overdubs")
    leave(9, 12, ulric)
    client, date = client_of(manager), timezone.localdate(day(10))

    rooms = client.get(f"{reverse('schedule:day')}?day={date}").content.decode()
    people = client.get(f"{reverse('schedule:day')}?show=people&day={date}").content.decode()

    assert "stand-in wanted" in rooms
    assert "Ulric Yarrell cannot be there" in rooms
    assert "Overdubs" not in people


def test_free_gear_is_what_can_be_used(client_of, manager, book, day, units):
    """Three units, one reserved, one on the bench: one is free, not two."""
    book(units=[UnitFactory()])
    units[0].state = "on_the_bench"
    units[0].save()
    date = timezone.localdate(day(10))
    client = client_of(manager)

    page = client.get(f"{reverse('schedule:day')}?show=equipment&day={date}").content.decode()
    only = f"{reverse('schedule:day')}?show=equipment&day={date}&only={units[0].pk}"

    assert "1 more unit is free throughout. 1 cannot be used" in page
    assert "free-link" not in client.get(only).content.decode()
