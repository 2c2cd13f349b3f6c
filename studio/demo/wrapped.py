"""A session that is over: a voice in the morning, fiddle and flugelhorn in the afternoon."""

from sessions.bookings.actions import set_status
from sessions.bookings.models import Credit, CreditRole, RecordingSession, Status
from sessions.setups.models import Orientation, Setup
from sessions.setups.patching.actions import strike
from sessions.takes.models import CompChoice, Mark, TakeKind
from studio.demo.chains import (
    FIDDLE,
    FLUGELHORN,
    LEAD_VOCAL,
    LEAD_VOCAL_LEVELS,
    make_chain,
    make_mix,
    read,
    read_tone,
    turn,
)
from studio.demo.days import at


def wrapped_session(work) -> RecordingSession:
    session = work.book(
        "ep",
        "Lead vocal and fiddle",
        at(-12, 10),
        at(-12, 19),
        Status.CONFIRMED,
        work.net_loft,
        ["M-01", "S-01", "M-02", "M-04", "P-01", "P-02", "P-03", "C-01", "E-01", "H-01"],
        note="Doors at 9:30. Kettle descaled.",
    )
    set_status(session, to=Status.UNDER_WAY, by=work.engineer)
    _credits(work, session)
    song = work.songs["Haul Away the Morning"]
    parts = {part.name: part for part in song.parts.all()}
    _morning(work, session, song, parts)
    _afternoon(work, session, parts)
    session.left_to_do = "Concertina. Tag of the last chorus: breath before “quay”."
    session.save(update_fields=["left_to_do"])
    set_status(session, to=Status.WRAPPED, by=work.engineer)
    return session


def _morning(work, session, song, parts) -> None:
    morning = Setup.objects.create(
        session=session, position=1, name="Lead vocal, morning", buffer_samples=128
    )
    voice = make_chain(
        morning,
        LEAD_VOCAL,
        by=work.engineer,
        source="Maud, alto voice",
        parts=[parts["Lead vocal"]],
        track="Ld Vox",
        destination_input="Input 1",
        placement={
            "distance_cm": 22,
            "height_cm": 158,
            "angle_deg": 10,
            "orientation": Orientation.HUNG,
            "pattern": "Cardioid",
            "pop_filter": True,
            "pop_filter_cm": 9,
            "note": "Aimed at the bridge of the nose from slightly above.",
        },
    )
    make_mix(
        morning,
        "Maud",
        box="H-01",
        output="1",
        listeners=[work.people["Maud Ferrier"]],
        level_dba=82,
        minutes_a_day=180,
        lines={
            "Ld Vox": ("0 dB", "centre"),
            "Playback": ("−4 dB", "wide"),
            "Click": ("just there", "left"),
            "Reverb": ("a little", ""),
        },
        note="Her voice a touch late is worse for her than a touch loud: keep the buffer small.",
    )
    read_tone(voice, [None, None, "-6.9", "-3.8", "-3.7", "-3.7"], by=work.engineer)
    read(voice, by=work.engineer, **LEAD_VOCAL_LEVELS)
    lead = parts["Lead vocal"]
    work.take(lead, session, morning, 35, Mark.FALSE_START)
    work.take(lead, session, morning, 40, Mark.COMPLETE, note="Warm, a little careful")
    # She leans in for the second pass: a little less into the compressor, and it is a new revision.
    turn(voice, "C-01", by=work.engineer, threshold=-5, **{"gain-reduction": 3})
    turn(voice, "P-01", by=work.engineer, high=3)
    best = work.take(lead, session, morning, 48, Mark.COMPLETE, circled=True, grade=5)
    work.take(lead, session, morning, 55, Mark.BREAKDOWN, note="Cough in verse 2")
    work.take(
        lead,
        session,
        morning,
        62,
        Mark.MASTER,
        kind=TakeKind.PUNCH_IN,
        into=best,
        punch_in="bar 21",
        punch_out="bar 29",
        pre_roll_bars=2,
        note="Verse 2 again",
        grade=4,
    )
    _comp(song, lead)
    strike(morning)


def _afternoon(work, session, parts) -> None:
    afternoon = Setup.objects.create(
        session=session, position=2, name="Fiddle and flugelhorn, afternoon", buffer_samples=256
    )
    fiddle = make_chain(
        afternoon,
        FIDDLE,
        by=work.engineer,
        source="Fiddle",
        parts=[parts["Fiddle"]],
        track="Fdl 1",
        destination_input="Input 2",
        placement={
            "distance_cm": 45,
            "height_cm": 175,
            "angle_deg": 30,
            "orientation": Orientation.UPRIGHT,
            "pattern": "Cardioid",
        },
    )
    read_tone(fiddle, [None, "0", "0", "0"], by=work.engineer)
    flugelhorn = make_chain(
        afternoon,
        FLUGELHORN,
        by=work.engineer,
        source="Flugelhorn",
        parts=[parts["Flugelhorn"]],
        track="Flg 1",
        destination_input="Input 3",
        placement={
            "distance_cm": 80,
            "height_cm": 140,
            "angle_deg": 20,
            "orientation": Orientation.UPRIGHT,
            "pattern": "Figure-of-eight",
        },
    )
    read(fiddle, by=work.engineer, source_spl_db=78, source_distance_cm=60)
    read(flugelhorn, by=work.engineer, source_spl_db=93, source_distance_cm=50)
    work.take(parts["Fiddle"], session, afternoon, 260, Mark.LONG_FALSE_START)
    work.take(parts["Fiddle"], session, afternoon, 268, Mark.MASTER, circled=True, grade=5)
    work.take(parts["Flugelhorn"], session, afternoon, 330, Mark.NO_GOOD)
    work.take(parts["Flugelhorn"], session, afternoon, 338, Mark.HOLD, circled=True, grade=4)
    strike(afternoon)


def _comp(song, part) -> None:
    takes = {take.number: take for take in part.takes.all()}
    for section in song.sections.prefetch_related("lines"):
        for line in section.lines.all():
            take = takes[5] if section.name == "Verse 2" else takes[3]
            CompChoice.objects.create(part=part, line=line, take=take)


def _credits(work, session) -> None:
    for name, role, instrument in [
        ("Maud Ferrier", CreditRole.VOCALIST, ""),
        ("Bess Orrin", CreditRole.MUSICIAN, "Fiddle"),
        ("Ansel Brook", CreditRole.MUSICIAN, "Flugelhorn"),
        ("tobias", CreditRole.RECORDING_ENGINEER, ""),
        ("ines", CreditRole.ASSISTANT_ENGINEER, ""),
    ]:
        Credit.objects.create(
            session=session, person=work.people[name], role=role, instrument=instrument
        )
