"""The database keeps the rules even from code that forgets them: plain saves, no actions."""

import importlib
import pkgutil
from datetime import timedelta
from random import Random
from types import ModuleType

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.models import Model
from django.utils import timezone

import sessions.models
from gear.panels.models import Control
from sessions import constraints
from sessions.setups.headphones.models import MixSnapshot
from sessions.setups.models import Revision, Stage
from sessions.takes.models import TakeRevision
from tests.factories import (
    TEN_O_CLOCK,
    ControlFactory,
    PersonFactory,
    PlacementFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RevisionFactory,
    RoomFactory,
    SetupFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)

pytestmark = pytest.mark.django_db


def resources(kind):
    made = {"room": RoomFactory, "person": PersonFactory, "unit": UnitFactory}[kind]()
    return {"room": None, kind: made}


def fix(revision):
    Revision.objects.filter(pk=revision.pk).update(fixed_at=timezone.now())


@pytest.mark.parametrize("kind", constraints.RESOURCES)
def test_reservation_of_same_rank_refused_when_it_overlaps(kind):
    resource = resources(kind)
    ReservationFactory(**resource)
    late = RecordingSessionFactory(starts_at=TEN_O_CLOCK + timedelta(hours=3, minutes=59))

    with pytest.raises(IntegrityError, match=f"reservation_{kind}_overlap|reservation_overlap"):
        ReservationFactory(session=late, **resource)


@pytest.mark.parametrize("kind", constraints.RESOURCES)
def test_reservation_moved_onto_another_is_refused(kind):
    resource = resources(kind)
    ReservationFactory(**resource)
    later = ReservationFactory(
        session=RecordingSessionFactory(starts_at=TEN_O_CLOCK + timedelta(days=1)), **resource
    )

    later.starts_at = TEN_O_CLOCK
    with pytest.raises(IntegrityError):
        later.save()


def test_reservation_that_touches_the_end_is_free():
    """The manual's half-open rule: 10:00 to 14:00, then 14:00 to 18:00."""
    first = ReservationFactory()
    next_session = RecordingSessionFactory(starts_at=first.ends_at)

    second = ReservationFactory(session=next_session, room=first.room)

    assert second.starts_at == first.ends_at


def test_reservation_vector_of_the_postgresql_manual():
    """PostgreSQL manual, range types: 14:45 to 15:45 is rejected beside 11:30 to 15:00."""
    first = ReservationFactory(
        session=RecordingSessionFactory(
            starts_at=TEN_O_CLOCK.replace(hour=11, minute=30),
            ends_at=TEN_O_CLOCK.replace(hour=15),
        )
    )
    second = RecordingSessionFactory(
        starts_at=TEN_O_CLOCK.replace(hour=14, minute=45),
        ends_at=TEN_O_CLOCK.replace(hour=15, minute=45),
    )

    with pytest.raises(IntegrityError):
        ReservationFactory(session=second, room=first.room)


def test_reservations_stand_exactly_where_a_diary_of_hours_has_room():
    """Sixty bookings and moves at random; whether each may stand is known from the sets of hours."""
    random, rooms, diary = Random(7), [RoomFactory(), RoomFactory()], {}
    for _ in range(60):
        first, length = random.randrange(100), random.randrange(1, 12)
        hours = set(range(first, first + length))
        moved = random.choice([None, *diary]) if random.random() < 0.4 else None
        row = moved or ReservationFactory.build(
            session=RecordingSessionFactory(), room=random.choice(rooms), rank=random.choice([1, 2])
        )
        row.starts_at = TEN_O_CLOCK + timedelta(hours=first)
        row.ends_at = row.starts_at + timedelta(hours=length)
        has_room = not any(
            hours & theirs
            for other, theirs in diary.items()
            if other is not moved and (other.room, other.rank) == (row.room, row.rank)
        )

        try:
            with transaction.atomic():
                row.save()
            stands = True
        except IntegrityError:
            stands = False

        assert stands == has_room
        if stands:
            diary[row] = hours


def test_reservation_of_another_rank_stands_behind():
    first = ReservationFactory()

    second = ReservationFactory(room=first.room, rank=2)

    assert second.rank == 2


def test_reservation_without_rank_takes_nothing():
    first = ReservationFactory()

    enquiry = ReservationFactory(room=first.room, rank=None)

    assert enquiry.rank is None


def test_fixed_revision_keeps_its_stages():
    stage = StageFactory(settings={"gain": 30})
    fix(stage.revision)

    stage.settings = {"gain": 40}
    with pytest.raises(IntegrityError, match="revision_fixed"), transaction.atomic():
        stage.save()
    with pytest.raises(IntegrityError, match="revision_fixed"), transaction.atomic():
        StageFactory(revision=stage.revision)
    with pytest.raises(IntegrityError, match="revision_fixed"), transaction.atomic():
        stage.delete()

    assert Stage.objects.get().settings == {"gain": 30}


def test_fixed_revision_takes_no_stage_from_elsewhere():
    fixed = RevisionFactory()
    fix(fixed)
    stage = StageFactory()

    stage.revision = fixed
    with pytest.raises(IntegrityError, match="revision_fixed"):
        stage.save()


def test_fixed_revision_keeps_its_placement():
    placement = PlacementFactory()
    fix(placement.revision)

    placement.distance_cm = 5
    with pytest.raises(IntegrityError, match="revision_fixed"):
        placement.save()


def test_fixed_revision_cannot_be_unfixed():
    revision = RevisionFactory()
    fix(revision)

    with pytest.raises(IntegrityError, match="revision_fixed"):
        Revision.objects.filter(pk=revision.pk).update(fixed_at=None)


def test_take_cannot_point_to_an_open_revision():
    take, revision = TakeFactory(), RevisionFactory()
    heard = MixSnapshot.objects.create(setup=SetupFactory())

    with pytest.raises(IntegrityError, match="revision_open"):
        TakeRevision.objects.create(take=take, revision=revision, heard=heard)


def test_take_keeps_what_it_was_recorded_through_and_what_was_heard():
    revision, heard = RevisionFactory(), MixSnapshot.objects.create(setup=SetupFactory())
    fix(revision)
    through = TakeRevision.objects.create(take=TakeFactory(), revision=revision, heard=heard)

    for row, change in (
        (through, {"take": TakeFactory()}),
        (heard, {"mixes": [{"name": "Singer"}]}),
    ):
        rows = type(row).objects.filter(pk=row.pk)
        with pytest.raises(IntegrityError, match="take_fixed"), transaction.atomic():
            rows.update(**change)
        with pytest.raises(IntegrityError, match="take_fixed"), transaction.atomic():
            rows._raw_delete(rows.db)


def test_fixed_panel_keeps_its_controls():
    control = ControlFactory()
    type(control.panel).objects.filter(pk=control.panel_id).update(fixed_at=timezone.now())

    with pytest.raises(IntegrityError, match="panel_fixed"), transaction.atomic():
        Control.objects.filter(pk=control.pk).update(label="Drive")
    with pytest.raises(IntegrityError, match="panel_fixed"), transaction.atomic():
        ControlFactory(panel=control.panel)

    assert Control.objects.get().label == "Gain"


def test_check_names_a_rule_that_is_missing():
    assert constraints.check(databases=["default"]) == []

    constraints.remove(connection)

    [error] = constraints.check(databases=["default"])
    assert "rule_stage_fixed_update" in error.msg
    constraints.install(connection)
    assert constraints.check(databases=["default"]) == []


def test_rules_aside_stand_again_with_what_came_meanwhile():
    stage = StageFactory()
    fix(stage.revision)

    with constraints.aside(connection):
        Stage.objects.filter(pk=stage.pk).update(position=7)
        StageFactory(revision=stage.revision, position=8)

    assert constraints.missing(connection) == set()
    assert Stage.objects.get(pk=stage.pk).position == 7
    with pytest.raises(IntegrityError, match="revision_fixed"):
        Stage.objects.filter(pk=stage.pk).update(position=9)


def test_rules_aside_stand_again_after_an_error():
    stage = StageFactory(position=1)
    fix(stage.revision)

    with pytest.raises(ZeroDivisionError), constraints.aside(connection):
        Stage.objects.filter(pk=stage.pk).update(position=1 // 0)

    assert constraints.missing(connection) == set()


def test_every_slice_hands_its_models_to_django():
    modules = [found.name for found in pkgutil.walk_packages(sessions.__path__, "sessions.")]
    defined = {
        name
        for module in modules
        for name, thing in vars(importlib.import_module(module)).items()
        if isinstance(thing, type) and thing.__module__ == module and issubclass(thing, Model)
        if not hasattr(thing, "instance_type")  # a history, which simple_history puts there
        if not thing._meta.abstract
    }

    handed = {
        name
        for module in vars(sessions.models).values()
        if isinstance(module, ModuleType)
        for name in vars(module)
    }
    assert defined <= handed
