"""The session that runs now: all four round two microphones."""

from datetime import timedelta

from django.utils import timezone

from sessions.bookings.actions import set_status
from sessions.bookings.models import Status
from sessions.setups.chains.actions import copy_chain
from sessions.setups.models import ChainGroup, Orientation, Setup
from sessions.takes.actions import log_take
from sessions.takes.models import Mark
from studio.demo.chains import GROUP, GROUP_DRY, ROOM, make_chain, make_mix


def under_way(work) -> None:
    start = timezone.now().replace(minute=0, second=0, microsecond=0) - timedelta(hours=2)
    session = work.book(
        "ep",
        "Group vocals",
        start,
        start + timedelta(hours=7),
        Status.CONFIRMED,
        work.rope_floor,
        ["M-02", "M-03", "P-02", "P-03", "H-01", "H-02"],
    )
    set_status(session, to=Status.UNDER_WAY, by=work.engineer)
    part = work.songs["Neap and Spring"].parts.get(name="Group vocals")
    setup = Setup.objects.create(
        session=session, name="All four round two microphones", buffer_samples=1024
    )
    group = make_chain(
        setup,
        GROUP,
        by=work.engineer,
        source="Quartet, near",
        parts=[part],
        track="Grp",
        destination_input="Input 2",
        placement={
            "distance_cm": 90,
            "height_cm": 165,
            "angle_deg": 0,
            "orientation": Orientation.UPRIGHT,
            "pattern": "Omnidirectional",
            "across_cm": 0,
            "along_cm": 0,
        },
    )
    make_chain(
        setup,
        ROOM,
        by=work.engineer,
        source="Room",
        track="Rm Mono",
        destination_input="Input 3",
        placement={
            "distance_cm": 320,
            "height_cm": 230,
            "pattern": "Omnidirectional",
            "across_cm": 40,
            "along_cm": -230,
        },
    )
    make_chain(
        setup,
        GROUP_DRY,
        by=work.engineer,
        source="Quartet, past the channel",
        track="Grp Dry",
        destination_input="Input 1",
        placement={"distance_cm": 90, "height_cm": 165, "pattern": "Omnidirectional"},
    )
    quartet = ChainGroup.objects.create(setup=setup, name="Quartet")
    for chain in setup.chains.filter(track__in=("Grp", "Rm Mono")):
        chain.group = quartet
        chain.save()
    make_mix(
        setup,
        "All four",
        box="H-01",
        output="1 to 4",
        listeners=[
            work.people[name] for name in ("Hesper Dunnage", "Mina Sprigge", "Ludo Tranter")
        ],
        level_dba=86,
        minutes_a_day=240,
        lines={
            "Grp": ("low", ""),
            "Rm Mono": ("off the right ear", ""),
            "Click": ("-6 dB", ""),
        },
        note="One ear each: they sing to the room.",
    )
    work.take(part, session, setup, 70, Mark.BREAKDOWN)
    work.take(part, session, setup, 82, Mark.HOLD, circled=True, grade=3)
    log_take(part, session=session, setup=setup, rolling=True)
    next_up = Setup.objects.create(
        session=session, position=2, name="Spoken verse, later", buffer_samples=128
    )
    copy_chain(
        group,
        to=next_up,
        by=work.engineer,
        source="Bram, spoken",
        track="Spkn",
        parts=[work.songs["Neap and Spring"].parts.get(name="Spoken verse")],
        destination_input="Input 2",
    )
