"""Who and what could stand in, and what comes of choosing them. One test an exit."""

from datetime import time

import pytest
from django.utils import timezone

from gear.equipment.models import Category, Phantom, Transducer
from sessions.bookings.clashes import BookingRefused, ClashError
from sessions.bookings.models import CreditRole, Reservation, Status
from sessions.bookings.padding import Padding
from sessions.bookings.stand_ins.actions import use_stand_ins
from sessions.bookings.stand_ins.fitting import first_choices, stand_ins_for
from sessions.rooms.models import Weekday
from tests.factories import (
    CreditFactory,
    GearModelFactory,
    PersonFactory,
    RoomFactory,
    UnitFactory,
    WeeklyHoursFactory,
)

pytestmark = pytest.mark.django_db


def needs():
    found = Reservation.objects.to_come(timezone.now()).not_to_be_had()
    return list(found.for_list().with_holders())


def offered(need=None):
    [need] = [need] if need else needs()
    return [each.resource for each in stand_ins_for([need])[need.pk]]


def bench(unit):
    unit.state = "on_the_bench"
    unit.save()
    return unit


@pytest.fixture
def condenser(db):
    return GearModelFactory(
        category=Category.MICROPHONE, transducer=Transducer.CONDENSER, phantom=Phantom.NEEDED
    )


def test_same_model_comes_first_then_the_same_kind_with_what_is_otherwise(book, condenser):
    ribbon = GearModelFactory(category=Category.MICROPHONE, transducer=Transducer.RIBBON)
    other = GearModelFactory(category=Category.MICROPHONE, transducer=Transducer.CONDENSER)
    broken = UnitFactory(model=condenser)
    kind = UnitFactory(model=ribbon, asset_tag="A-1")
    alike = UnitFactory(model=other, asset_tag="A-2")
    same = UnitFactory(model=condenser, asset_tag="Z-9")
    UnitFactory(model=GearModelFactory(category=Category.COMPRESSOR))
    book(units=[broken])
    bench(broken)

    [need] = needs()
    found = stand_ins_for([need])[need.pk]

    assert [(each.resource, each.fits) for each in found] == [
        (same, True),
        (alike, False),
        (kind, False),
    ]
    assert found[0].how == "same model"
    assert found[2].notes == ("Ribbon, not condenser.", "Keep phantom power off.")
    assert any("it can damage this" in each.text for each in found[2].cautions)


def test_units_on_the_bench_taken_or_of_the_session_itself_are_not_offered(book, condenser):
    broken, own, taken, second = (UnitFactory(model=condenser) for _ in range(4))
    bench(UnitFactory(model=condenser))
    book(10, 14, units=[broken, own])
    book(13, 15, units=[taken])
    book(14, 16, units=[second])
    bench(broken)

    assert offered() == [second]


def test_warm_up_has_to_be_free_too(book):
    valve = GearModelFactory(warm_up_minutes=60)
    broken, cold = UnitFactory(model=valve), UnitFactory(model=valve)
    book(10, 14, units=[broken])
    book(8, 9.5, units=[cold])
    bench(broken)

    assert offered() == []


def test_supply_that_belongs_with_it_has_to_be_free_and_in_service(book):
    valve, supply = GearModelFactory(own_supply=True), GearModelFactory(category=Category.SUPPLY)
    broken, dark, busy, whole = (
        UnitFactory(model=valve, supply=UnitFactory(model=supply)) for _ in range(4)
    )
    bench(dark.supply)
    book(10, 14, units=[broken])
    book(12, 13, units=[busy.supply])
    bench(broken)

    assert offered() == [whole]


def test_person_of_the_same_role_who_is_free_and_at_work(book, leave, ulric, piran):
    """Off work, on other leave, booked, retired and of another role: none of them."""
    does = {"does": "Recording engineer", "bookable": True}
    off, away, booked = (PersonFactory(**does) for _ in range(3))
    PersonFactory(**does, retired=True)
    PersonFactory(does="Fiddle", bookable=True)
    for weekday in Weekday:
        WeeklyHoursFactory(room=None, person=off, weekday=weekday, opens=time(20), closes=time(23))
    book(people=[ulric])
    book(people=[booked])
    leave(8, 11, away)
    leave(9, 12, ulric)

    assert offered() == [piran]


def test_lockout_asks_nobodys_hours(book, leave, ulric, piran):
    for weekday in Weekday:
        WeeklyHoursFactory(
            room=None, person=piran, weekday=weekday, opens=time(20), closes=time(23)
        )
    book(people=[ulric], lockout=True)
    leave(9, 12, ulric)

    assert offered() == [piran]


def test_who_was_credited_with_the_same_comes_next_and_a_similar_role_last(book, leave, ulric):
    assistant = PersonFactory(name="A", does="Assistant engineer", bookable=True)
    credited = PersonFactory(name="Z", does="Producer", bookable=True)
    for person in (ulric, credited):
        CreditFactory(person=person, role=CreditRole.RECORDING_ENGINEER)
    book(people=[ulric])
    leave(9, 12, ulric)

    [need] = needs()
    found = stand_ins_for([need])[need.pk]

    assert [(each.resource, each.how, each.fits) for each in found] == [
        (credited, "recording engineer at 1 session", True),
        (assistant, "assistant engineer", False),
    ]


def test_another_room_is_offered_and_never_chosen_by_itself(book, leave):
    room, other = RoomFactory(), RoomFactory()
    RoomFactory(retired=True)
    book(rooms=[room])
    leave(9, 12, kind="maintenance", rooms=[room])

    [need] = needs()
    found = stand_ins_for([need])

    assert [each.resource for each in found[need.pk]] == [other]
    assert first_choices([need], found) == {}


def test_first_choices_take_nobody_twice_at_one_time(book, leave, ulric, piran):
    other = PersonFactory(does=ulric.does, bookable=True)
    book(10, 12, people=[ulric])
    book(20, 22, people=[ulric])
    also = PersonFactory(does=ulric.does, bookable=True)
    book(11, 13, people=[also])
    leave(0, 24, ulric, also)

    found = needs()
    chosen = first_choices(found, stand_ins_for(found))

    by_session = {each.session.title: chosen[each.pk] for each in found}
    assert {by_session["From 10"], by_session["From 11"]} == {piran, other}
    assert by_session["From 20"] in {piran, other}


@pytest.mark.parametrize("count", [1, 3])
def test_needs_cost_the_same_queries_however_many_there_are(
    book, leave, ulric, piran, condenser, count, django_assert_num_queries
):
    for number in range(count):
        book(number * 5, number * 5 + 2, people=[ulric], units=[UnitFactory(model=condenser)])
        UnitFactory(model=condenser)
    leave(0, 24, ulric)
    for each in Reservation.objects.filter(unit__isnull=False):
        bench(each.unit)

    found = needs()
    assert len(found) == 2 * count
    with django_assert_num_queries(6):
        stand_ins_for(found)


def test_stand_in_takes_the_place_and_its_padding(book, leave, ulric, piran, manager):
    session = book(people=[ulric], padding={ulric: Padding(45, 15)})
    leave(9, 12, ulric)
    [need] = needs()

    use_stand_ins({need.pk: piran}, by=manager)

    taken = session.reservations.get(person__isnull=False)
    assert (taken.person, taken.rank, taken.missing) == (piran, 1, False)
    assert taken.padding == Padding(45, 15)
    assert needs() == []


def test_unit_brings_its_supply_and_the_other_takes_its_own_along(book, manager):
    valve = GearModelFactory(own_supply=True, warm_up_minutes=30)
    broken, whole = (UnitFactory(model=valve, supply=UnitFactory()) for _ in range(2))
    session = book(units=[broken, broken.supply])
    bench(broken)
    [need] = needs()

    use_stand_ins({need.pk: whole}, by=manager)

    units = {
        each.unit: each.before_minutes for each in session.reservations.filter(unit__isnull=False)
    }
    assert units == {whole: 30, whole.supply: 0}


def test_none_does_without(book, leave, ulric, manager):
    session = book(people=[ulric])
    CreditFactory(session=session, person=ulric)
    leave(9, 12, ulric)
    [need] = needs()

    use_stand_ins({need.pk: None}, by=manager)

    assert not session.reservations.filter(person__isnull=False).exists()
    assert not session.credits.exists()


@pytest.mark.parametrize("status", [Status.CONFIRMED, Status.UNDER_WAY])
def test_credits_go_with_the_work(book, leave, ulric, piran, manager, status):
    """Who has begun keeps their credit; of what is still to come it is the stand-in’s."""
    session = book(people=[ulric])
    CreditFactory(session=session, person=ulric, role=CreditRole.RECORDING_ENGINEER)
    type(session).objects.update(status=status)
    leave(9, 12, ulric)
    [need] = needs()

    use_stand_ins({need.pk: piran}, by=manager)

    credited = {each.person for each in session.credits.all()}
    assert credited == ({piran} if status == Status.CONFIRMED else {ulric, piran})


def test_several_sessions_at_once_or_none(book, leave, ulric, piran, manager):
    first, second = book(10, 12, people=[ulric]), book(20, 22, people=[ulric])
    leave(0, 24, ulric)
    chosen = {each.pk: piran for each in needs()}
    taken = book(21, 23, people=[piran])

    with pytest.raises(ClashError, match="Piran Tolle is taken"):
        use_stand_ins(chosen, by=manager)
    assert len(needs()) == 2

    type(taken).objects.get(pk=taken.pk).reservations.filter(person=piran).delete()
    use_stand_ins(chosen, by=manager)
    assert needs() == []
    assert {each.session for each in Reservation.objects.filter(person=piran)} == {first, second}


def test_second_of_two_who_press_is_told(book, leave, ulric, piran, manager):
    book(people=[ulric])
    leave(9, 12, ulric)
    [need] = needs()
    use_stand_ins({need.pk: piran}, by=manager)

    with pytest.raises(BookingRefused, match="Open it again"):
        use_stand_ins({need.pk: piran}, by=manager)


def test_leave_brings_its_stand_ins_in_one_step(book, leave, ulric, piran):
    session = book(people=[ulric])
    key = session.reservations.get(person=ulric).pk

    leave(9, 12, ulric, stand_ins={key: piran})

    assert [each.person for each in session.reservations.filter(rank=1, room=None)] == [piran]
    assert needs() == []
