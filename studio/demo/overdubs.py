"""The session that is under way today: the quartet round two microphones, a cornet's last chorus."""

from datetime import timedelta

from django.utils import timezone

from sessions.bookings.actions import give_credit, set_status
from sessions.bookings.models import CreditRole, RecordingSession, Status
from sessions.setups.chains.actions import copy_chain
from sessions.setups.models import Arrangement, Orientation, Path, Setup, Towards
from sessions.setups.patching.actions import strike
from sessions.takes.actions import log_take
from sessions.takes.models import Mark, Take, TakeKind
from studio.demo.chains import (
    Line,
    S,
    describe_sources,
    make_chain,
    make_group,
    make_mix,
    pin,
    pre,
    read,
    read_tone,
    record,
    turn,
)
from studio.demo.days import as_of

FOUR = ["Hesper Dunnage", "Tamsin Orlop", "Corin Strake", "Bram Hawse"]

_HEARD_ONLY = S(
    "CO-01",
    {"threshold": -16, "ratio": 4, "attack": 6, "release": 700, "side-chain-low-cut": 140}
    | {"make-up": 4, "compressor": 1, "gain-reduction": 4},
    "Dry 1 in",
    "Dry 1 out",
    Path.MONITOR_ONLY,
    "For their headphones; not recorded.",
)
_ON_THE_DESK = S(
    "MX-01", {"trim": 2, "fader": -8, "level": -10}, "Desk 2 in", "", Path.MONITOR_ONLY
)


def _two(number: int, who: str, track: str, *beside: S) -> Line:
    return Line(
        who,
        track,
        ("Quartet",),
        [
            S(f"MC-0{number}", {"pattern": 0, "pad": 0}, "", f"Floor {number}"),
            pre(number, 36, phantom=True, **{"low-cut": 45}),
            *beside,
            record(number),
        ],
        {
            "distance_cm": 75,
            "height_cm": 163,
            "orientation": Orientation.UPRIGHT,
            "pattern": "Cardioid",
            "across_cm": -12 if number == 1 else 12,
            "along_cm": 0,
            "stand": "Tall boom",
        },
    )


def _room(number: int, side: str) -> Line:
    return Line(
        f"Room, {side}",
        f"Qrt Rm {side[0].upper()}",
        (),
        [
            S(f"MC-1{number}", {"low-cut": 1}, "", f"Floor {number}"),
            pre(number, 42, phantom=True),
            record(number),
        ],
        {
            "distance_cm": 430,
            "height_cm": 330,
            "orientation": Orientation.HUNG,
            "pattern": "Cardioid",
            "note": "From the tie beam, on a safety line; as on the band day.",
        },
    )


QUARTET = [
    _two(1, "Soprano and alto", "Qrt SA"),
    _two(2, "Tenor and bass", "Qrt TB", _HEARD_ONLY, _ON_THE_DESK),
    _room(3, "left"),
    _room(4, "right"),
]
#: Left and right as one faces them from their microphone.
STANDING = {
    "Soprano and alto": {"place": "Soprano left, alto right, an arm apart, backs to the tie beam"},
    "Tenor and bass": {"place": "Tenor right, bass left, facing the other two"},
}
CORNET = Line(
    "Cornet, last chorus",
    "Cnt LC",
    ("Cornet",),
    [S("MR-01", {}, "", "Bread 1"), pre(9, 38, phantom=False), record(9)],
    {
        "distance_cm": 65,
        "height_cm": 138,
        "angle_deg": 15,
        "angle_towards": Towards.RIGHT,
        "orientation": Orientation.UPRIGHT,
        "pattern": "Figure-of-eight",
        "stand": "Tall boom",
        "note": "As on the band day, but in the Bread Room.",
    },
)


def overdubs(work, *, rebuilt) -> RecordingSession:
    """`rebuilt(work, session)` makes the rebuilds before anybody comes in."""
    start = timezone.now().replace(minute=0, second=0, microsecond=0) - timedelta(hours=3)
    with as_of(start - timedelta(days=12)):
        session = work.book(
            "ep",
            "Quartet overdubs",
            start,
            start + timedelta(hours=8),
            Status.CONFIRMED,
            work.rope_floor,
            ["MC-01", "MC-02", "MC-13", "MC-14", "MR-01", "PR-01", "PR-02", "CO-01"]
            + ["HP-01", "HP-02"],
            note="The cornet comes first, alone; the quartet from the second hour.",
        )
    with as_of(start - timedelta(minutes=50)):
        set_status(session, to=Status.UNDER_WAY, by=work.engineer)
        give_credit(
            session,
            person=work.people["ulric"],
            role=CreditRole.RECORDING_ENGINEER,
            instrument="",
            by=work.engineer,
        )
        for name in (*FOUR, "Ludo Tranter"):
            singer = name in FOUR
            role = CreditRole.VOCALIST if singer else CreditRole.MUSICIAN
            instrument = "" if singer else "Cornet"
            give_credit(
                session,
                person=work.people[name],
                role=role,
                instrument=instrument,
                by=work.engineer,
            )
        rebuilt(work, session)
    _last_chorus(work, session)
    _quartet(work, session)
    return session


def _last_chorus(work, session) -> None:
    parts = work.parts("Slow the Lantern", "Cornet")
    with as_of(session.starts_at):
        setup = Setup.objects.create(
            session=session, position=1, name="Cornet alone", buffer_samples=64, count_in_bars=1
        )
        chain = make_chain(setup, CORNET, by=work.engineer, parts=parts, number=9)
        read_tone(chain, [None, "-8.0", "-8.1"], by=work.engineer)
        make_mix(
            setup,
            "Cornet",
            box="HP-02",
            output="1",
            listeners=[work.people["Ludo Tranter"]],
            level_dba=83,
            minutes_a_day=45,
            lines={"Playback": ("0 dB", "as mixed"), "Cnt LC": ("−10 dB", "right")},
        )
    whole = Take.objects.get(song__title="Slow the Lantern", number=3)
    punch = {
        "kind": TakeKind.PUNCH_IN,
        "into": whole,
        "punch_in": "bar 57",
        "punch_out": "bar 65",
        "pre_roll_bars": 2,
    }
    work.take(parts, session, setup, 18, Mark.NO_GOOD, lasts=1, note="Late in", **punch)
    work.take(parts, session, setup, 22, Mark.HOLD, lasts=1, **punch)
    with as_of(session.starts_at + timedelta(minutes=25)):
        turn(setup, "Cnt LC", "PR-02", by=work.engineer, gain=36)
    work.take(
        parts,
        session,
        setup,
        27,
        Mark.COMPLETE,
        lasts=1,
        note="Softer, further off; this one",
        chosen={"Cornet": 5},
        **punch,
    )
    with as_of(session.starts_at + timedelta(minutes=40)):
        strike(setup)


def _quartet(work, session) -> None:
    parts = work.parts("Neap and Spring", "Quartet")
    carried = [part for title in _TITLES for part in work.parts(title, "Quartet")]
    with as_of(session.starts_at + timedelta(minutes=55)):
        setup = Setup.objects.create(
            session=session,
            position=2,
            name="Quartet round two microphones",
            buffer_samples=128,
            clock_master="Sessile Bract 16 (AD-01)",
            rate_seen_hz=48_000,
            click="None after the count-in",
            count_in_bars=2,
        )
        for number, line in enumerate(QUARTET, 1):
            make_chain(
                setup, line, by=work.engineer, parts=carried if line.parts else (), number=number
            )
        describe_sources(setup, STANDING, work.people)
        make_group(
            setup,
            "Quartet",
            ["Qrt SA", "Qrt TB"],
            arrangement=Arrangement.NEAR_COINCIDENT,
            spacing_cm=24,
            included_angle_deg=180,
            is_matched=False,
            note="Back to back; two singers to a side.",
        )
        make_group(
            setup,
            "Room",
            ["Qrt Rm L", "Qrt Rm R"],
            arrangement=Arrangement.SPACED,
            spacing_cm=260,
        )
        for track in ("Qrt SA", "Qrt TB"):
            pin(setup, track, "PR-01", "gain", by=work.engineer)
        pin(setup, "Qrt TB", "CO-01", "threshold", "make-up", by=work.engineer)
        near = setup.chains.get(track="Qrt TB")
        read(near, by=work.engineer, source_spl_db=88, source_distance_cm=75)
        make_mix(
            setup,
            "All four",
            box="HP-01",
            output="1 to 4",
            listeners=[work.people[name] for name in FOUR],
            level_dba=81,
            minutes_a_day=210,
            lines={
                "Playback": ("−2 dB", "as mixed"),
                "Qrt SA": ("−9 dB", "left"),
                "Qrt TB": ("−9 dB", "right"),
            },
            note="One ear off. The low voices through the compressor, so that they can hold back.",
        )
    work.take(parts, session, setup, 74, Mark.FALSE_START, lasts=0.5)
    work.take(
        parts,
        session,
        setup,
        77,
        Mark.COMPLETE,
        note="Words of verse 2 swallowed; the refrain is the one",
    )
    with as_of(session.starts_at + timedelta(minutes=84)):
        turn(setup, "Qrt TB", "PR-01", by=work.engineer, gain=33)
    work.take(parts, session, setup, 88, Mark.COMPLETE, chosen={"Quartet": 4})
    work.take(parts, session, setup, 97, Mark.BREAKDOWN, lasts=2, note="Laughter; kept for them")
    log_take(*parts, session=session, setup=setup, rolling=True)
    later = Setup.objects.create(
        session=session, position=3, name="Bass voice alone, later", buffer_samples=128
    )
    copy_chain(
        near,
        to=later,
        by=work.engineer,
        source="Bram, low line",
        track="Low",
        parts=work.parts("Seven Bells Round", "Quartet"),
        destination_input="Input 2",
    )


_TITLES = ["Neap and Spring", "Seven Bells Round", "Slow the Lantern"]
