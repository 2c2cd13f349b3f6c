"""The work of the last weeks and of the next, in dates that follow today's."""

import tempfile
from datetime import timedelta
from pathlib import Path

from django.core.files import File
from django.utils import timezone

from gear.equipment.models import Fault, Unit
from sessions.bookings.actions import book_session, set_status
from sessions.bookings.models import Credit, CreditRole, RecordingSession, Room, Status
from sessions.deliverables.actions import hand_in
from sessions.deliverables.models import DeliverableKind
from sessions.setups.actions import copy_chain, strike
from sessions.setups.models import Orientation, Setup
from sessions.takes.actions import log_take
from sessions.takes.models import CompChoice, Mark, Take, TakeKind
from studio.demo.chains import (
    CONCERTINA,
    FIDDLE,
    FLUGELHORN,
    GROUP,
    GROUP_DRY,
    LEAD_VOCAL,
    LEAD_VOCAL_LEVELS,
    ROOM,
    SPOKEN,
    make_chain,
    make_mix,
    read,
    read_tone,
    turn,
)
from studio.demo.house import keep_house
from studio.demo.letters import put_summary_on_record
from studio.demo.rebuilds import fill_rebuilds
from studio.demo.sound import write_rough_mix
from studio.demo.to_come import book_what_is_to_come
from studio.models import User


def at(days: int, hour: int):
    """That many days from today, on the hour, in the studio's zone."""
    midnight = timezone.localtime().replace(hour=0, minute=0, second=0, microsecond=0)
    return midnight + timedelta(days=days, hours=hour)


class Work:
    """Harbour Lane's diary, filled through the same actions as the pages use."""

    def __init__(self, people, projects, songs):
        self.people, self.projects, self.songs = people, projects, songs
        self.manager = User.objects.get(username="maren")
        self.engineer = User.objects.get(username="tobias")
        self.net_loft = Room.objects.create(
            name="Net Loft", note="The large room, under the roof. Wall box east, lines 1 to 4."
        )
        self.sail_room = Room.objects.create(name="Sail Room", note="Small and dry; one singer.")

    def fill(self) -> None:
        wrapped = self._wrapped_session()
        self._under_way()
        self._concertina()
        self._called_off()
        book_what_is_to_come(self, at(0, 0))
        self._faults(wrapped)
        self._rough_mixes()
        put_summary_on_record(wrapped, by=self.engineer)
        keep_house(self, at(0, 0))
        fill_rebuilds(RecordingSession.objects.get(status=Status.UNDER_WAY))

    def book(self, project, title, starts_at, ends_at, status, room, tags=(), **more):
        return book_session(
            self.projects[project],
            title=title,
            starts_at=starts_at,
            ends_at=ends_at,
            status=status,
            rooms=[room],
            people=[self.people[name] for name in more.pop("people", ["tobias", "ines"])],
            units=Unit.objects.filter(asset_tag__in=tags),
            by=self.manager,
            **more,
        )

    def _wrapped_session(self) -> RecordingSession:
        session = self.book(
            "ep",
            "Lead vocal and fiddle",
            at(-12, 10),
            at(-12, 19),
            Status.CONFIRMED,
            self.net_loft,
            ["M-01", "S-01", "M-02", "M-04", "P-01", "P-02", "P-03", "C-01", "E-01", "H-01"],
            note="Doors at 9:30. Kettle descaled.",
        )
        set_status(session, to=Status.UNDER_WAY, by=self.engineer)
        self._credits(session)
        song = self.songs["Haul Away the Morning"]
        parts = {part.name: part for part in song.parts.all()}

        morning = Setup.objects.create(
            session=session, position=1, name="Lead vocal, morning", buffer_samples=128
        )
        voice = make_chain(
            morning,
            LEAD_VOCAL,
            by=self.engineer,
            source="Maud, alto voice",
            part=parts["Lead vocal"],
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
            listeners=[self.people["Maud Ferrier"]],
            level_dba=82,
            minutes_a_day=180,
            lines={
                "Ld Vox": ("0 dB", "centre"),
                "Playback": ("-4 dB", "wide"),
                "Click": ("just there", "left"),
                "Reverb": ("a little", ""),
            },
            note="Her voice a touch late is worse for her than a touch loud: keep the buffer small.",
        )
        read_tone(voice, [None, None, "-6.9", "-3.8", "-3.7", "-3.7"], by=self.engineer)
        read(voice, by=self.engineer, **LEAD_VOCAL_LEVELS)
        lead = parts["Lead vocal"]
        self._take(lead, session, morning, 35, Mark.FALSE_START)
        self._take(lead, session, morning, 40, Mark.COMPLETE, note="Warm, a little careful")
        # She leans in for the second pass: a little less into the compressor, and it is a new revision.
        turn(voice, "C-01", by=self.engineer, threshold=-5, **{"gain-reduction": 3})
        turn(voice, "P-01", by=self.engineer, high=3)
        self._take(lead, session, morning, 48, Mark.COMPLETE, circled=True, grade=5)
        self._take(lead, session, morning, 55, Mark.BREAKDOWN, note="Cough in verse 2")
        self._take(
            lead,
            session,
            morning,
            62,
            Mark.MASTER,
            kind=TakeKind.PUNCH_IN,
            punch_in="bar 21",
            punch_out="bar 29",
            pre_roll_bars=2,
            note="Verse 2 again",
            grade=4,
        )
        self._comp(song, lead)
        strike(morning)

        afternoon = Setup.objects.create(
            session=session, position=2, name="Fiddle and flugelhorn, afternoon", buffer_samples=256
        )
        fiddle = make_chain(
            afternoon,
            FIDDLE,
            by=self.engineer,
            source="Fiddle",
            part=parts["Fiddle"],
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
        read_tone(fiddle, [None, "0", "0", "0"], by=self.engineer)
        flugelhorn = make_chain(
            afternoon,
            FLUGELHORN,
            by=self.engineer,
            source="Flugelhorn",
            part=parts["Flugelhorn"],
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
        read(fiddle, by=self.engineer, source_spl_db=78, source_distance_cm=60)
        read(flugelhorn, by=self.engineer, source_spl_db=93, source_distance_cm=50)
        self._take(parts["Fiddle"], session, afternoon, 260, Mark.LONG_FALSE_START)
        self._take(parts["Fiddle"], session, afternoon, 268, Mark.MASTER, circled=True, grade=5)
        self._take(parts["Flugelhorn"], session, afternoon, 330, Mark.NO_GOOD)
        self._take(parts["Flugelhorn"], session, afternoon, 338, Mark.HOLD, circled=True, grade=4)
        strike(afternoon)
        session.left_to_do = "Concertina. Tag of the last chorus: breath before “quay”."
        session.save(update_fields=["left_to_do"])
        set_status(session, to=Status.WRAPPED, by=self.engineer)
        return session

    def _take(self, part, session, setup, minutes, mark, **facts) -> Take:
        """A take at so many minutes into the session, four minutes long."""
        circled, grade = facts.pop("circled", False), facts.pop("grade", None)
        began = session.starts_at + timedelta(minutes=minutes)
        over = began + timedelta(minutes=4)
        take = log_take(part, session=session, setup=setup, mark=mark, at=over, **facts)
        take.started_at = began
        take.circled, take.grade = circled, grade
        take.save()
        return take

    def _comp(self, song, part) -> None:
        takes = {take.number: take for take in part.takes.all()}
        for section in song.sections.prefetch_related("lines"):
            for line in section.lines.all():
                take = takes[5] if section.name == "Verse 2" else takes[3]
                CompChoice.objects.create(part=part, line=line, take=take)

    def _credits(self, session) -> None:
        for name, role, instrument in [
            ("Maud Ferrier", CreditRole.VOCALIST, ""),
            ("Bess Orrin", CreditRole.MUSICIAN, "Fiddle"),
            ("Ansel Brook", CreditRole.MUSICIAN, "Flugelhorn"),
            ("tobias", CreditRole.RECORDING_ENGINEER, ""),
            ("ines", CreditRole.ASSISTANT_ENGINEER, ""),
        ]:
            Credit.objects.create(
                session=session, person=self.people[name], role=role, instrument=instrument
            )

    def _under_way(self) -> None:
        start = timezone.now().replace(minute=0, second=0, microsecond=0) - timedelta(hours=2)
        session = self.book(
            "ep",
            "Group vocals",
            start,
            start + timedelta(hours=7),
            Status.CONFIRMED,
            self.net_loft,
            ["M-02", "M-03", "P-02", "P-03", "H-01", "H-02"],
        )
        set_status(session, to=Status.UNDER_WAY, by=self.engineer)
        part = self.songs["Low Water"].parts.get(name="Group vocals")
        setup = Setup.objects.create(
            session=session, name="All four round two microphones", buffer_samples=1024
        )
        group = make_chain(
            setup,
            GROUP,
            by=self.engineer,
            source="Quartet, near",
            part=part,
            track="Grp",
            destination_input="Input 2",
            placement={
                "distance_cm": 90,
                "height_cm": 165,
                "angle_deg": 0,
                "orientation": Orientation.UPRIGHT,
                "pattern": "Omnidirectional",
            },
        )
        make_chain(
            setup,
            ROOM,
            by=self.engineer,
            source="Room",
            track="Rm Mono",
            destination_input="Input 3",
            placement={"distance_cm": 320, "height_cm": 230, "pattern": "Omnidirectional"},
        )
        make_chain(
            setup,
            GROUP_DRY,
            by=self.engineer,
            source="Quartet, past the channel",
            track="Grp Dry",
            destination_input="Input 1",
            placement={"distance_cm": 90, "height_cm": 165, "pattern": "Omnidirectional"},
        )
        make_mix(
            setup,
            "All four",
            box="H-01",
            output="1 to 4",
            listeners=[self.people[name] for name in ("Maud Ferrier", "Bess Orrin", "Ansel Brook")],
            level_dba=86,
            minutes_a_day=240,
            lines={
                "Grp": ("low", ""),
                "Rm Mono": ("off the right ear", ""),
                "Click": ("-6 dB", ""),
            },
            note="One ear each: they sing to the room.",
        )
        self._take(part, session, setup, 70, Mark.BREAKDOWN)
        self._take(part, session, setup, 82, Mark.HOLD, circled=True, grade=3)
        log_take(part, session=session, setup=setup, rolling=True)
        next_up = Setup.objects.create(
            session=session, position=2, name="Spoken verse, later", buffer_samples=128
        )
        copy_chain(
            group,
            to=next_up,
            by=self.engineer,
            source="Wilf, spoken",
            track="Spkn",
            part=self.songs["Low Water"].parts.get(name="Spoken verse"),
            destination_input="Input 2",
        )

    def _concertina(self) -> None:
        """Tomorrow's session, with its setups made."""
        session = self.book(
            "ep",
            "Concertina",
            at(1, 10),
            at(1, 14),
            Status.CONFIRMED,
            self.sail_room,
            ["M-05", "P-01"],
        )
        for position, (name, stages, track) in enumerate(
            [("Concertina", CONCERTINA, "Cnc 1"), ("Spoken introduction", SPOKEN, "Spkn Intro")], 1
        ):
            make_chain(
                Setup.objects.create(session=session, position=position, name=name),
                stages,
                by=self.engineer,
                source=name,
                track=track,
                destination_input="Input 1",
                placement={"distance_cm": 40, "orientation": Orientation.UPRIGHT},
            )

    def _called_off(self) -> None:
        session = self.book(
            "readings",
            "Readings, microphone test",
            at(-3, 9),
            at(-3, 12),
            Status.CONFIRMED,
            self.sail_room,
        )
        set_status(session, to=Status.CANCELLED, by=self.manager)

    def _faults(self, session) -> None:
        bench = Fault.objects.create(
            unit=Unit.objects.get(asset_tag="C-02"),
            description="Meter sticks at 6 dB; gain reduction itself is right.",
            reported_by=self.engineer,
            state="worked_on",
        )
        noisy = Fault.objects.create(
            unit=Unit.objects.get(asset_tag="P-03"),
            description="Trim crackles below 9 o'clock.",
            reported_by=self.engineer,
        )
        session.faults.add(bench, noisy)

    def _rough_mixes(self) -> None:
        song = self.songs["Haul Away the Morning"]
        with tempfile.TemporaryDirectory() as folder:
            for seed, gain, note in [
                (3, 0.45, "Straight after the session, faders only."),
                (4, 0.6, "Fiddle up 2 dB, as asked."),
            ]:
                path = Path(folder) / f"CF_HaulAway_TR0{seed - 2}_Rough_48k24.wav"
                write_rough_mix(path, seed=seed, gain=gain)
                with path.open("rb") as mix:
                    hand_in(
                        song,
                        kind=DeliverableKind.ROUGH_MIX,
                        upload=File(mix, name=path.name),
                        note=note,
                        by=self.engineer,
                    )
