"""The work of the last weeks and of the next, in dates that follow today's."""

import tempfile
from datetime import timedelta
from pathlib import Path

from django.core.files import File

from gear.equipment.models import Fault, Unit
from sessions.bookings.actions import book_session, set_status
from sessions.bookings.models import RecordingSession, Status
from sessions.deliverables.actions import hand_in
from sessions.deliverables.models import DeliverableKind
from sessions.rooms.models import Room
from sessions.setups.models import Orientation, Setup
from sessions.takes.actions import log_take
from sessions.takes.models import Take
from studio.demo.chains import CONCERTINA, SPOKEN, make_chain
from studio.demo.days import at
from studio.demo.house import keep_house
from studio.demo.letters import write_summary
from studio.demo.rebuilds import fill_rebuilds
from studio.demo.sound import write_rough_mix
from studio.demo.to_come import book_what_is_to_come
from studio.demo.under_way import under_way
from studio.demo.wrapped import wrapped_session
from studio.models import User


class Work:
    """Quay Steps's diary, filled through the same actions as the pages use."""

    def __init__(self, people, projects, songs):
        self.people, self.projects, self.songs = people, projects, songs
        self.manager = User.objects.get(username="odile")
        self.engineer = User.objects.get(username="ulric")
        self.rope_floor = Room.objects.create(
            name="Rope Floor", note="The large room, under the roof. Wall box east, lines 1 to 4."
        )
        self.bread_room = Room.objects.create(name="Bread Room", note="Small and dry; one singer.")

    def fill(self) -> None:
        wrapped = wrapped_session(self)
        under_way(self)
        self._concertina()
        self._called_off()
        book_what_is_to_come(self, at(0, 0))
        self._faults(wrapped)
        self._rough_mixes()
        write_summary(wrapped, by=self.engineer)
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
            people=[self.people[name] for name in more.pop("people", ["ulric", "piran"])],
            units=Unit.objects.filter(asset_tag__in=tags),
            by=self.manager,
            **more,
        )

    def take(self, part, session, setup, minutes, mark, **facts) -> Take:
        """A take at so many minutes into the session, four minutes long."""
        circled, grade = facts.pop("circled", False), facts.pop("grade", None)
        began = session.starts_at + timedelta(minutes=minutes)
        over = began + timedelta(minutes=4)
        take = log_take(part, session=session, setup=setup, mark=mark, at=over, **facts)
        take.started_at = began
        take.save()
        for each in take.take_parts.all():
            each.circled, each.grade = circled, grade
            each.save()
        return take

    def _concertina(self) -> None:
        """Tomorrow's session, with its setups made."""
        session = self.book(
            "ep",
            "Concertina",
            at(1, 10),
            at(1, 14),
            Status.CONFIRMED,
            self.bread_room,
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
            self.bread_room,
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
        song = self.songs["Slow the Lantern"]
        with tempfile.TemporaryDirectory() as folder:
            for seed, gain, note in [
                (3, 0.45, "Straight after the session, faders only."),
                (4, 0.6, "Fiddle up 2 dB, as asked."),
            ]:
                path = Path(folder) / f"WF_HaulAway_TR0{seed - 2}_Rough_48k24.wav"
                write_rough_mix(path, seed=seed, gain=gain)
                with path.open("rb") as mix:
                    hand_in(
                        song,
                        kind=DeliverableKind.ROUGH_MIX,
                        upload=File(mix, name=path.name),
                        note=note,
                        by=self.engineer,
                    )
