"""A session that is over: brass, rhythm and a speaker at once, sixteen inputs, three songs."""

from datetime import timedelta

from sessions.bookings.actions import give_credit, set_status
from sessions.bookings.models import CreditRole, RecordingSession, Status
from sessions.setups.models import Setup
from sessions.setups.patching.actions import strike
from sessions.takes.models import Mark, TakeKind
from studio.demo.band_inputs import GROUPS, INPUTS, SOURCES
from studio.demo.chains import (
    describe_sources,
    make_chain,
    make_group,
    make_mix,
    read,
    read_tone,
    turn,
)
from studio.demo.days import as_of, at
from studio.demo.musicians import attend

SONGS = ["Neap and Spring", "Slow the Lantern", "Seven Bells Round"]
_UNITS = [
    *["MD-01", "MD-02", "MD-03", "MD-11", "MR-01", "MR-02", "MV-01", "SU-01", "DI-01"],
    *["MC-01", "MC-02", "MC-03", "MC-04", "MC-11", "MC-12", "MC-13", "MC-14"],
    *["PR-01", "PR-02", "CO-01", "EQ-01", "AM-01", "HP-01", "HP-02", "HP-03"],
]


def band_day(work, *, measured=lambda setup: None) -> RecordingSession:
    """`measured(setup)` measures what is set up, before anybody comes in."""
    starts_at = at(-8, 11)
    with as_of(starts_at - timedelta(days=30)):
        session = work.book(
            "ep",
            "Band day",
            starts_at,
            at(-8, 21),
            Status.CONFIRMED,
            work.rope_floor,
            _UNITS,
            note="Load-in by the slipway door. Three brass, rhythm, one speaker next door.",
        )
    with as_of(starts_at - timedelta(hours=1)):
        set_status(session, to=Status.UNDER_WAY, by=work.engineer)
        setup = _set_up(work, session)
    with as_of(starts_at - timedelta(minutes=20)):
        measured(setup)
    _neap_and_spring(work, session, setup)
    _slow_the_lantern(work, session, setup)
    _seven_bells_round(work, session, setup)
    with as_of(session.ends_at - timedelta(minutes=15)):
        strike(setup)
        _credits(work, session)
        attend(work, session)
        session.left_to_do = (
            "Slow the Lantern: the cornet’s last chorus, when his lip is back.\n"
            "All three songs: the quartet."
        )
        session.save(update_fields=["left_to_do"])
    with as_of(session.ends_at):
        set_status(session, to=Status.WRAPPED, by=work.engineer)
    return session


def _set_up(work, session) -> Setup:
    setup = Setup.objects.create(
        session=session,
        name="Everybody at once",
        buffer_samples=64,
        clock_master="Sessile Bract 16 (AD-01)",
        rate_seen_hz=48_000,
        click="Wood block, in the drummer’s and the pianist’s ears only",
        count_in_bars=2,
        note="Screens between drums and bass amplifier; brass in a shallow arc facing the kit.",
    )
    for number, line in enumerate(INPUTS, 1):
        parts = [part for title in SONGS for part in work.parts(title, *line.parts) if line.parts]
        make_chain(setup, line, by=work.engineer, parts=parts, number=number)
    describe_sources(setup, SOURCES, work.people)
    for name, tracks, facts in GROUPS:
        make_group(setup, name, tracks, **facts)
    _levels(work, setup)
    _mixes(work, setup)
    return setup


def _levels(work, setup) -> None:
    chains = {chain.track: chain for chain in setup.chains.all()}
    by = work.engineer
    read_tone(chains["Tbn"], [None, "-11.1", "-11.1"], by=by)
    read_tone(chains["Bass DI"], ["-46.0", "-22.1", None, None], by=by)
    read_tone(chains["Kick"], [None, "-25.0", "-25.2", "-25.2"], by=by)
    read(chains["Cnt"], by=by, source_spl_db=97, source_distance_cm=65)
    read(chains["Tbn"], by=by, source_spl_db=101, source_distance_cm=80)
    read(chains["Kick"], by=by, source_spl_db=118, source_distance_cm=12)
    read(chains["Spoken"], by=by, source_spl_db=76, source_distance_cm=18)
    planned = {"planned_reduction_low_db": 2, "planned_reduction_high_db": 5}
    read(chains["Bass DI"], by=by, source_dbu=-21, stages={"CO-01": planned})


def _mixes(work, setup) -> None:
    def who(*names):
        return [work.people[name] for name in names]

    make_mix(
        setup,
        "Brass",
        box="HP-01",
        output="1 to 3",
        listeners=who("Ludo Tranter", "Mina Sprigge", "Osric Paull"),
        level_dba=84,
        minutes_a_day=300,
        lines={
            "Pno Hi": ("−3 dB", "left"),
            "Bass DI": ("−6 dB", "centre"),
            "OH L": ("−12 dB", "left"),
            "OH R": ("−12 dB", "right"),
        },
        note="One ear off; they hear each other in the room.",
    )
    make_mix(
        setup,
        "Rhythm",
        box="HP-02",
        output="1 to 3",
        listeners=who("Gwil Hanniford", "Teo Larkrise", "Ada Fenwright"),
        level_dba=88,
        minutes_a_day=300,
        lines={
            "Brs M": ("−4 dB", "centre"),
            "Bass DI": ("0 dB", "centre"),
            "Pno Lo": ("−5 dB", "right"),
            "Click": ("just audible", "left"),
        },
    )
    make_mix(
        setup,
        "Speaker next door",
        box="HP-03",
        output="1",
        listeners=who("Bram Hawse"),
        level_dba=78,
        minutes_a_day=90,
        lines={"Brs M": ("−8 dB", ""), "Pno Lo": ("−6 dB", ""), "Spoken": ("very little", "")},
        note="He speaks to the piano, not to the beat.",
    )


def _neap_and_spring(work, session, setup) -> None:
    parts = work.parts(SONGS[0], "Cornet", "Trombone", "Euphonium", "Bass", "Drums", "Piano")
    work.take(parts, session, setup, 52, Mark.FALSE_START, lasts=1, note="Click too loud")
    work.take(parts, session, setup, 58, Mark.COMPLETE, chosen={"Piano": 5})
    with as_of(session.starts_at + timedelta(minutes=66)):
        turn(setup, "Snare", "PR-01", by=work.engineer, gain=24)
        turn(setup, "Euph", "PR-02", by=work.engineer, gain=38)
    work.take(
        parts,
        session,
        setup,
        70,
        Mark.COMPLETE,
        chosen={"Cornet": 4, "Trombone": 5, "Euphonium": 4, "Bass": 4, "Drums": 5},
    )
    work.take(parts, session, setup, 79, Mark.HOLD, note="Slower; nice, but not this record")


def _slow_the_lantern(work, session, setup) -> None:
    parts = work.parts(SONGS[1], "Cornet", "Trombone", "Euphonium", "Bass", "Drums", "Piano")
    with as_of(session.starts_at + timedelta(minutes=140)):
        turn(setup, "Tbn", "PR-02", by=work.engineer, gain=32)

    def digs_in():
        turn(setup, "Bass DI", "CO-01", by=work.engineer, threshold=-2)

    work.take(parts, session, setup, 150, Mark.BREAKDOWN, lasts=3, note="Lost the count at bar 33")
    work.take(parts, session, setup, 156, Mark.COMPLETE, chosen={"Drums": 4, "Piano": 5})
    work.take(
        parts,
        session,
        setup,
        164,
        Mark.COMPLETE,
        lasts=5,
        meanwhile=digs_in,
        chosen={"Cornet": 4, "Trombone": 5, "Euphonium": 5, "Bass": 5},
        note="Threshold up before the last chorus: he digs in there",
    )
    work.take(parts, session, setup, 174, Mark.NO_GOOD, lasts=2, note="A chair")


def _seven_bells_round(work, session, setup) -> None:
    parts = work.parts(
        SONGS[2],
        *("Cornet", "Trombone", "Euphonium", "Bass", "Drums", "Piano", "Spoken verse"),
    )
    spoken = work.parts(SONGS[2], "Spoken verse")
    work.take(parts, session, setup, 300, Mark.LONG_FALSE_START, lasts=2)
    whole = work.take(parts, session, setup, 306, Mark.COMPLETE, chosen={"Bass": 4, "Drums": 4})
    with as_of(session.starts_at + timedelta(minutes=315)):
        turn(setup, "Spoken", "PR-02", by=work.engineer, gain=48)
    work.take(
        parts,
        session,
        setup,
        318,
        Mark.MASTER,
        chosen={"Cornet": 5, "Trombone": 4, "Euphonium": 4, "Piano": 5},
    )
    work.take(
        spoken,
        session,
        setup,
        340,
        Mark.COMPLETE,
        lasts=2,
        kind=TakeKind.PUNCH_IN,
        into=whole,
        punch_in="bar 25",
        punch_out="bar 33",
        pre_roll_bars=4,
        note="Drier, as if reading a bill",
        chosen={"Spoken verse": 5},
    )


def _credits(work, session) -> None:
    for name, role, instrument in [
        ("Ludo Tranter", CreditRole.MUSICIAN, "Cornet"),
        ("Mina Sprigge", CreditRole.MUSICIAN, "Trombone"),
        ("Osric Paull", CreditRole.MUSICIAN, "Euphonium"),
        ("Gwil Hanniford", CreditRole.MUSICIAN, "Bass guitar"),
        ("Teo Larkrise", CreditRole.MUSICIAN, "Drums"),
        ("Ada Fenwright", CreditRole.MUSICIAN, "Piano"),
        ("Bram Hawse", CreditRole.VOCALIST, "Speaker"),
        ("Rosamund Keel", CreditRole.PRODUCER, ""),
        ("ulric", CreditRole.RECORDING_ENGINEER, ""),
        ("piran", CreditRole.ASSISTANT_ENGINEER, ""),
    ]:
        give_credit(
            session,
            person=work.people[name],
            role=role,
            instrument=instrument,
            by=work.engineer,
        )
