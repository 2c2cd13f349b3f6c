from datetime import timedelta

import pytest
from django.utils import timezone

from gear.patchbay.models import Normal
from sessions.bookings.models import RecordingSession, WorkedHours
from sessions.clients.orders import rules_for
from sessions.deliverables.models import Deliverable
from sessions.reports.session_report import session_facts, session_report
from sessions.setups.models import Chain, ChainGroup
from sessions.takes.models import CompChoice, Mark
from tests.factories import (
    TEN_O_CLOCK,
    ControlFactory,
    CreditFactory,
    DeliverableFactory,
    DeliverableFileFactory,
    FaultFactory,
    LyricLineFactory,
    PartFactory,
    PatchPointFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RevisionFactory,
    RoomFactory,
    SectionFactory,
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
    return session_report(load(session), for_the_house=True)


def test_setup_says_how_its_chains_as_they_stood_last_were_patched(part, session):
    first = chain_of(part, session=session)
    last = RevisionFactory(chain=first.chain, number=first.number + 1)
    out, into = PatchPointFactory(), PatchPointFactory(side="return")
    StageFactory(revision=last, unit=UnitFactory(), panel=None, patch_out=out)
    StageFactory(revision=last, unit=UnitFactory(), panel=None, patch_in=into)

    [line] = report_of(session).setups

    [plugs] = line.patched
    [cord] = plugs.cords
    assert [f"{end.jack}" for end in cord.plug.link.ends] == [f"{out}", f"{into}"]


def test_normal_that_a_setup_beside_it_broke_is_not_reported_as_made(session):
    """Two setups that stood at once: the second's cord goes into the jack that a normal of the first feeds."""
    out, other, into = PatchPointFactory(), PatchPointFactory(), PatchPointFactory(side="return")
    Normal.objects.create(source=out, destination=into, kind="half")
    for name, jack in (("Morning", out), ("Evening", other)):
        revision = RevisionFactory(
            chain__setup=SetupFactory(session=session, name=name), chain__destination_input=""
        )
        StageFactory(revision=revision, position=1, unit=UnitFactory(), panel=None, patch_out=jack)
        StageFactory(revision=revision, position=2, unit=UnitFactory(), panel=None, patch_in=into)

    morning, evening = report_of(session).setups

    assert [plugs.by_normal for plugs in (*morning.patched, *evening.patched)] == [[], []]


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
        (line.part.take.number, [each.revision.number for each in line.through])
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

    assert [len(line.sections) for line in setups] == [1, 0]
    [(facts, [line])] = setups[0].sections
    assert facts is None
    assert line.path == f"Alto voice →\u00a0{unit} →\u00a0Ld Vox"
    assert line.takes_by_song == [(part.song, [take.number])]


def test_pair_stands_together_after_the_chains_that_stand_alone(part, session):
    setup = SetupFactory(session=session)
    left, alone, right = (
        RevisionFactory(chain__setup=setup, chain__position=n) for n in range(1, 4)
    )
    pair = ChainGroup.objects.create(setup=setup, name="Room", arrangement="spaced")
    for seat, revision in (("left", left), ("right", right)):
        Chain.objects.filter(pk=revision.chain_id).update(group=pair, seat=seat)

    [told] = report_of(session).setups

    assert [
        (facts and facts.arranged, [line.revision for line in lines])
        for facts, lines in told.sections
    ] == [(None, [alone]), ("spaced pair", [left, right])]


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


def test_faults_are_for_the_house_only(session):
    session.faults.add(FaultFactory())

    report = session_report(load(session))

    assert (report.faults, report.left_to_do) == ((), ())


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
        DeliverableFileFactory(deliverable=made)
    Deliverable.objects.update(created_at=session.ends_at)
    loaded = load(session)

    with django_assert_num_queries(28):
        report = session_report(loaded, for_the_house=True)

    assert len(report.deliverables) == rows


def test_report_says_what_is_left_to_do(part, session):
    fiddle = PartFactory(song=part.song, name="Fiddle", position=2)
    TakeFactory(part=part, session=session, number=1, circled=True)
    TakeFactory(part=fiddle, session=session, number=4, mark=Mark.HOLD)
    TakeFactory(part=fiddle, session=session, number=5, mark=Mark.HOLD, withdrawn=True)
    open_fault, closed = FaultFactory(), FaultFactory(state="closed", closed_at=session.ends_at)
    session.faults.add(open_fault, closed)

    report = report_of(session)

    assert report.left_to_do == (
        f"{part.song}, Fiddle: no take is chosen",
        f"{part.song}, Fiddle: take 4 is on hold",
        f"{open_fault.unit}: Crackles when touched",
    )


def test_comp_with_gaps_is_left_to_do(part, session):
    """Verse: a line of two has a take; chorus: chosen as a whole; bridge: nothing yet."""
    verse, chorus, bridge = (
        SectionFactory(song=part.song, name=name, position=at)
        for at, name in enumerate(("Verse 1", "Chorus", "Bridge"))
    )
    first, second = (LyricLineFactory(section=verse, position=at) for at in (1, 2))
    LyricLineFactory(section=chorus)
    take = TakeFactory(part=part, session=session)
    CompChoice.objects.create(part=part, line=first, take=take)
    CompChoice.objects.create(part=part, section=chorus, take=take)
    gap = f"{part.song}, Lead vocal: the comp has no take yet for Verse 1 (1 of 2 lines), Bridge"
    report = report_of(session)
    assert report.left_to_do == (gap,)
    [comp] = report.comps
    assert comp.runs == [
        (take, f"Verse 1: “{first}”"),
        (None, f"Verse 1: “{second}”"),
        (take, "Chorus"),
        (None, "Bridge"),
    ]

    CompChoice.objects.create(part=part, line=second, take=take)
    CompChoice.objects.create(part=part, section=bridge, take=take)

    assert report_of(session).comps[0].runs == [(take, "Verse 1; Chorus; Bridge")]
    assert report_of(session).left_to_do == ()


def test_hours_that_were_worked_are_summed_up(session):
    for begins, hours in ((0, 2), (3, 1.5)):
        starts_at = session.starts_at + timedelta(hours=begins)
        WorkedHours.objects.create(
            session=session,
            kind="actual",
            starts_at=starts_at,
            ends_at=starts_at + timedelta(hours=hours),
        )

    assert dict(report_of(session).facts)["Worked"] == (
        "Mon 1 Jun 2026, 11:00 to 13:00; Mon 1 Jun 2026, 14:00 to 15:30: 3 h 30 min"
    )


@pytest.mark.parametrize(("kind", "owed"), [("rough_mix", False), ("stems", True)])
def test_song_with_chosen_takes_owes_a_rough_mix_until_one_is_made(part, session, kind, owed):
    TakeFactory(part=part, session=session, circled=True)
    DeliverableFileFactory(deliverable__song=part.song, deliverable__kind=kind)

    still = report_of(session).owed

    assert (f"{part.song}: no rough mix yet" in still) == owed


def test_what_was_ordered_for_each_song_is_owed_until_it_is_handed_in(part, session):
    TakeFactory(part=part, session=session, circled=True)
    session.project.delivery_rules = rules_for(["multitrack", "rough_mix", "stems"])
    session.project.save()
    DeliverableFileFactory(deliverable__song=part.song)

    assert report_of(session).owed == (
        f"{part.song}: no stems yet",
        f"{part.song}: no consolidated multitrack yet",
    )


def test_what_fails_its_checks_is_still_owed(part, session):
    TakeFactory(part=part, session=session, circled=True)
    session.project.delivery_rules = rules_for(["rough_mix"], containers=["aiff"])
    session.project.save()
    rough = DeliverableFileFactory(deliverable__song=part.song).deliverable

    assert report_of(session).owed == (f"{part.song}: {rough}, 1 failed, 1 warning",)


def test_song_without_chosen_takes_owes_no_rough_mix_yet(part, session):
    TakeFactory(part=part, session=session)

    report = report_of(session)

    assert report.left_to_do == (f"{part.song}, Lead vocal: no take is chosen",)
    assert report.owed == ()
