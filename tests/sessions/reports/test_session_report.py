from datetime import timedelta

import pytest
from django.utils import timezone

from sessions.bookings.models import RecordingSession
from sessions.deliverables.models import Deliverable
from sessions.reports.session_report import session_facts, session_report
from sessions.takes.models import Mark
from tests.factories import (
    TEN_O_CLOCK,
    AudioFileFactory,
    ControlFactory,
    CreditFactory,
    DeliverableFactory,
    FaultFactory,
    PartFactory,
    PatchPointFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RevisionFactory,
    RoomFactory,
    SetupFactory,
    StageFactory,
    TakeFactory,
    UnitFactory,
)
from tests.sessions.recall.recorded import chain_of, record

pytestmark = pytest.mark.django_db


@pytest.fixture
def part():
    return PartFactory(name="Lead vocal", position=2)


@pytest.fixture
def session(part):
    return RecordingSessionFactory(project=part.song.project)


def load(session):
    return RecordingSession.objects.select_related("project__client").get(pk=session.pk)


def report_of(session):
    return session_report(load(session))


def test_setup_says_how_its_chains_as_they_stood_last_were_patched(part, session):
    first = chain_of(part, session=session)
    last = RevisionFactory(chain=first.chain, number=first.number + 1)
    out, into = PatchPointFactory(), PatchPointFactory(side="return")
    StageFactory(revision=last, unit=UnitFactory(), panel=None, patch_out=out)
    StageFactory(revision=last, unit=UnitFactory(), panel=None, patch_in=into)

    [line] = report_of(session).setups

    [cord] = line.patching.patch_list.cords
    assert (f"{cord.source.jack}", f"{cord.destination.jack}") == (f"{out}", f"{into}")


def test_reserved_rooms_people_and_units_are_sorted_out(session):
    room, person, unit = RoomFactory(), PersonFactory(), UnitFactory()
    ReservationFactory(session=session, room=room)
    ReservationFactory(session=session, room=None, person=person)
    ReservationFactory(session=session, room=None, unit=unit)
    ReservationFactory(session=session, room=RoomFactory(name="Released"), rank=None)

    report = report_of(session)

    assert [each.resource for each in report.rooms] == [room]
    assert [each.resource for each in report.people] == [person]
    assert [each.resource for each in report.units] == [unit]


def test_takes_stand_under_song_and_part_with_their_revisions(part, session):
    chain = chain_of(part, session=session)
    record(TakeFactory(part=part, session=session, number=2), chain)
    TakeFactory(part=part, session=session, number=1)
    TakeFactory(part=part, session=RecordingSessionFactory(project=session.project), number=3)

    (song,) = report_of(session).songs

    assert song.song == part.song
    assert [
        (line.take.number, [revision.number for revision in line.revisions])
        for line in song.parts[0].takes
    ] == [(1, []), (2, [1])]


def test_part_that_was_only_set_up_is_reported_without_takes(part, session):
    fiddle = PartFactory(song=part.song, name="Fiddle", position=1)
    chain_of(fiddle, session=session)
    TakeFactory(part=part, session=session)

    (song,) = report_of(session).songs

    assert [(work.part.name, len(work.takes)) for work in song.parts] == [
        ("Fiddle", 0),
        ("Lead vocal", 1),
    ]


def test_chains_stand_under_their_setups_with_path_and_takes(part, session):
    chain = chain_of(part, session=session, source="Alto voice", track="Ld Vox")
    unit = UnitFactory()
    StageFactory(revision=chain, unit=unit)
    take = record(TakeFactory(part=part, session=session), chain)
    SetupFactory(session=session, name="Evening", position=9)

    setups = report_of(session).setups

    assert [len(line.revisions) for line in setups] == [1, 0]
    (line,) = setups[0].revisions
    assert line.path == f"Alto voice → {unit} → Ld Vox"
    assert line.takes == (take,)


def test_deliverables_are_those_of_the_sessions_songs_since_its_start(part, session):
    TakeFactory(part=part, session=session)
    since = DeliverableFactory(song=part.song)
    before = DeliverableFactory(song=part.song)
    of_another_song = DeliverableFactory()
    Deliverable.objects.update(created_at=session.starts_at + timedelta(hours=3))
    Deliverable.objects.filter(pk=before.pk).update(created_at=TEN_O_CLOCK - timedelta(seconds=1))

    report = report_of(session)

    assert report.deliverables == (since,)
    assert of_another_song.created_at is not None


def test_faults_are_those_reported_in_the_session(session):
    fault = FaultFactory()
    FaultFactory()
    session.faults.add(fault)

    assert report_of(session).faults == (fault,)


def test_hours_are_elapsed_time_across_a_clock_change():
    """EU directive 2000/84/EC: summer time began on 29 March 2026 at 01:00 UTC."""
    starts_at = timezone.datetime(2026, 3, 28, 22, tzinfo=timezone.get_fixed_timezone(0))
    session = RecordingSessionFactory(starts_at=starts_at, ends_at=starts_at + timedelta(hours=6))

    facts = dict(session_facts(load(session)))

    assert facts["Hours"] == "6 h"


@pytest.mark.parametrize("rows", [1, 3])
def test_report_costs_the_same_queries_for_any_number_of_rows(
    part, session, rows, django_assert_num_queries
):
    for number in range(1, rows + 1):
        chain = chain_of(part, session=session)
        ControlFactory(panel=StageFactory(revision=chain).panel)
        record(TakeFactory(part=part, session=session, number=number), chain)
        ReservationFactory(session=session)
        CreditFactory(session=session)
        session.faults.add(FaultFactory())
        made = DeliverableFactory(song=part.song)
        AudioFileFactory(deliverable=made)
    Deliverable.objects.update(created_at=session.ends_at)
    loaded = load(session)

    with django_assert_num_queries(16):
        report = session_report(loaded)

    assert len(report.deliverables) == rows


def test_report_says_what_is_left_to_do(part, session):
    fiddle = PartFactory(song=part.song, name="Fiddle", position=2)
    TakeFactory(part=part, session=session, number=1, circled=True)
    TakeFactory(part=fiddle, session=session, number=4, mark=Mark.HOLD)
    open_fault, closed = FaultFactory(), FaultFactory(state="closed", closed_at=session.ends_at)
    session.faults.add(open_fault, closed)

    report = session_report(load(session))

    assert report.left_to_do == (
        f"{part.song}, Fiddle: no take is chosen",
        f"{part.song}, Fiddle: take 4 is on hold",
        f"{part.song}: no rough mix yet",
        f"{open_fault.unit}: Crackles when touched",
    )


@pytest.mark.parametrize(("kind", "owed"), [("rough_mix", False), ("stems", True)])
def test_song_with_chosen_takes_owes_a_rough_mix_until_one_is_made(part, session, kind, owed):
    TakeFactory(part=part, session=session, circled=True)
    DeliverableFactory(song=part.song, kind=kind)

    left = report_of(session).left_to_do

    assert (f"{part.song}: no rough mix yet" in left) == owed


def test_song_without_chosen_takes_owes_no_rough_mix_yet(part, session):
    TakeFactory(part=part, session=session)

    assert report_of(session).left_to_do == (f"{part.song}, Lead vocal: no take is chosen",)
