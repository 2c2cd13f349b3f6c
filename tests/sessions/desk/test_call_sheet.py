from datetime import timedelta

import pytest
from django.urls import reverse

from gear.equipment.cautions import PHANTOM_CLASH, PHANTOM_HARMFUL, PHANTOM_NEEDED
from gear.patchbay.models import TieLine
from sessions.bookings.models import RecordingSession, WorkedHours
from sessions.desk.call_sheet import call_sheet
from tests.factories import (
    TEN_O_CLOCK,
    CreditFactory,
    GearModelFactory,
    MicrophoneModelFactory,
    PartFactory,
    PatchPointFactory,
    PersonFactory,
    RecordingSessionFactory,
    ReservationFactory,
    RoomFactory,
    StageFactory,
    UnitFactory,
)
from tests.printed import accessibility_errors, collisions, fonts_of, text_of, words_of
from tests.sessions.recall.recorded import chain_of

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)


@pytest.fixture
def session():
    return RecordingSessionFactory(title="Group vocals", note="Bring the bass amplifier.")


def sheet_of(session):
    loaded = RecordingSession.objects.select_related("project__client").get(pk=session.pk)
    return call_sheet(loaded)


def reserved(session, *, before=0, after=0, **of):
    return ReservationFactory(
        session=session,
        starts_at=session.starts_at - before * MINUTE,
        ends_at=session.ends_at + after * MINUTE,
        before_minutes=before,
        after_minutes=after,
        **({"room": None} | of),
    )


def warm(minutes, **facts):
    return UnitFactory(model=GearModelFactory(warm_up_minutes=minutes), **facts)


def test_load_in_and_teardown_come_from_the_rooms_own_times(session):
    reserved(session, room=RoomFactory(), before=45, after=30)

    (line,) = sheet_of(session).rooms

    assert line.starts_at == TEN_O_CLOCK - 45 * MINUTE
    assert line.ready_at == session.starts_at
    assert line.done_at == session.ends_at


def test_unit_is_switched_on_its_warm_up_before_it_is_needed(session):
    reserved(session, unit=warm(30, asset_tag="QS-30"), before=30)
    reserved(session, unit=warm(60, asset_tag="QS-60"), before=10)
    reserved(session, unit=warm(0, asset_tag="QS-00"))

    lines = sheet_of(session).units

    assert [
        (line.unit.asset_tag, line.switch_on_at, line.needed_at, line.is_too_early)
        for line in lines
    ] == [
        ("QS-60", TEN_O_CLOCK - 60 * MINUTE, TEN_O_CLOCK, True),
        ("QS-30", TEN_O_CLOCK - 30 * MINUTE, TEN_O_CLOCK, False),
        ("QS-00", TEN_O_CLOCK, TEN_O_CLOCK, False),
    ]


def test_people_come_in_the_order_of_their_call_then_who_is_only_credited(session):
    early, usual, singer = (PersonFactory(name=name) for name in ("Bram", "Edda", "Bryn"))
    reserved(session, person=usual)
    reserved(session, person=early, before=60)
    CreditFactory(session=session, person=singer, role="vocalist", instrument="tenor")
    CreditFactory(session=session, person=usual, role="producer")

    lines = sheet_of(session).people

    assert [(line.person.name, line.does) for line in lines] == [
        ("Bram", ""),
        ("Edda", "producer"),
        ("Bryn", "vocalist, tenor"),
    ]
    assert lines[0].called_at == TEN_O_CLOCK - 60 * MINUTE


def test_input_list_leads_from_the_box_in_the_room_to_the_track(session):
    part = PartFactory(song__project=session.project)
    chain = chain_of(part, session=session, source="Alto voice", track="Ld Vox")
    point = PatchPointFactory()
    TieLine.objects.create(room="Rope Floor", box="Box A", line=3, point=point)
    microphone = StageFactory(
        revision=chain, unit__model=MicrophoneModelFactory(), patch_out=point, panel=None
    )
    preamplifier = StageFactory(revision=chain)
    StageFactory(revision=chain, path="monitor")

    (inputs,) = sheet_of(session).input_lists
    (line,) = inputs.lines

    assert (line.cells["line"], line.chain.source.name, line.chain.track) == (
        "Rope Floor, Box A 3",
        "Alto voice",
        "Ld Vox",
    )
    assert (line.first, line.then) == (microphone, (preamplifier,))
    assert line.phantom == "48 V on"


def test_line_without_a_box_is_the_patch_point(session):
    chain = chain_of(PartFactory(song__project=session.project), session=session)
    point = PatchPointFactory(bay__name="Bay 1", column=7)
    StageFactory(revision=chain, unit__model=MicrophoneModelFactory(), patch_out=point, panel=None)

    (inputs,) = sheet_of(session).input_lists

    assert inputs.lines[0].cells["line"] == "Bay 1 A7"


def test_cautions_stand_once_with_all_that_gives_cause(session):
    model = MicrophoneModelFactory(transducer="valve", own_supply=True, phantom="harmless")
    units = UnitFactory.create_batch(2, model=model)
    for unit in units:
        reserved(session, unit=unit)

    (caution,) = sheet_of(session).cautions

    assert caution.caution.title == "high voltage"
    assert caution.about == ", ".join(f"{unit}" for unit in units)


def test_no_unit_asks_for_phantom_power_that_harms_another_of_its_chain(session):
    """A chain of both: the one reserved by itself needs 48 V, which the other must never get."""
    needy, ribbon = (
        UnitFactory(model=MicrophoneModelFactory(phantom=need)) for need in ("needed", "harmful")
    )
    chain = chain_of(PartFactory(song__project=session.project), session=session)
    for position, unit in enumerate([needy, ribbon], 1):
        reserved(session, unit=unit)
        StageFactory(revision=chain, position=position, unit=unit, panel=None)

    cautions = {found.caution for found in sheet_of(session).cautions}

    assert PHANTOM_NEEDED not in cautions
    assert cautions >= {PHANTOM_HARMFUL, PHANTOM_CLASH}


def test_phones_are_printed_for_the_house_and_not_on_the_sheet_to_hand_out(
    client_of, engineer, mix_engineer, session
):
    reserved(session, person=PersonFactory(name="Orla Quill", phone="01632 960 001"))
    session.project.mix_engineers.add(mix_engineer.person)
    address = reverse("bookings:call_sheet", args=[session.pk])

    texts = [
        text_of(client_of(user).get(asked).getvalue())
        for user, asked in (
            (engineer, address),
            (engineer, f"{address}?phones=no"),
            (mix_engineer, address),
        )
    ]

    assert ["960 001" in text for text in texts] == [True, False, False]
    assert all("Orla Quill" in text for text in texts)


def test_sheet_is_printed_in_the_house_design(client_of, engineer, session):
    reserved(session, unit=warm(30, asset_tag="QS-30"), before=30)
    reserved(session, room=RoomFactory(name="Bread Room"), before=45)
    WorkedHours.objects.create(
        session=session,
        kind="planned",
        starts_at=TEN_O_CLOCK,
        ends_at=TEN_O_CLOCK + 60 * MINUTE,
        note="Levels",
    )
    chain = chain_of(PartFactory(song__project=session.project), session=session)
    StageFactory(revision=chain, unit__model=MicrophoneModelFactory(), panel=None)

    pdf = client_of(engineer).get(reverse("bookings:call_sheet", args=[session.pk])).getvalue()

    text = text_of(pdf)

    assert accessibility_errors(pdf) == []
    for words in (
        "Call sheet Group vocals",
        "Bread Room 10:15 11:00 15:00 15:00",
        "10:30",
        "30 min",
        "Mon 1 Jun 2026, 11:00 to 12:00: Levels",
        "Caution: phantom power",
        "Input list",
        "not patched yet",
        "Bring the bass amplifier.",
        "Page 1 of",
    ):
        assert words in text
    assert collisions(words_of(pdf)) == []
    assert all(fonts_of(pdf).values())


@pytest.mark.parametrize("rows", [1, 3])
def test_sheet_costs_the_same_queries_for_any_number_of_rows(
    session, rows, django_assert_num_queries
):
    for _ in range(rows):
        reserved(session, unit=warm(5))
        reserved(session, person=PersonFactory())
        CreditFactory(session=session)
        chain = chain_of(PartFactory(song__project=session.project), session=session)
        StageFactory(revision=chain, patch_out=PatchPointFactory())
    loaded = RecordingSession.objects.select_related("project__client").get(pk=session.pk)

    with django_assert_num_queries(17):
        call_sheet(loaded)
