"""The work of the last months and of the next weeks, in dates that follow today's."""

from datetime import datetime, timedelta
from functools import partial

from gear.acting import acting
from gear.equipment.models import Fault, Unit
from sessions.bookings.actions import book_session
from sessions.bookings.models import RecordingSession
from sessions.rooms.models import Room
from sessions.songs.models import Part
from sessions.takes.actions import correct_part, log_take, mark_take
from sessions.takes.models import Take
from studio.demo.band_day import band_day
from studio.demo.comp import choose_lines
from studio.demo.days import as_of
from studio.demo.deliveries import send_rough_mixes
from studio.demo.earlier import earlier_sessions
from studio.demo.heard import listen_to_rough_mixes
from studio.demo.house import keep_house
from studio.demo.letters import say_sent, write_summary
from studio.demo.measured import measure_bass, measure_preamplifiers
from studio.demo.media import fill_media
from studio.demo.mixes import log_rough_mix
from studio.demo.narration import prepare_narration
from studio.demo.other_house import import_from_oriel_yard
from studio.demo.overdubs import overdubs
from studio.demo.people import invite_assistant
from studio.demo.rebuilds import fill_rebuilds
from studio.demo.rough_mixes import hand_in_rough_mixes
from studio.demo.sound_files import add_sound_files
from studio.demo.stand_ins import want_stand_ins
from studio.demo.stems import hand_in_stems
from studio.demo.to_come import book_what_is_to_come
from studio.models import User


class Work:
    """The studio's diary, filled through the same actions as the pages use."""

    def __init__(self, people, projects, songs):
        self.people, self.projects, self.songs = people, projects, songs
        self.manager, self.engineer, self.assistant, self.mix_engineer = (
            User.objects.get(username=name) for name in ("odile", "ulric", "piran", "kerensa")
        )
        self.rope_floor = Room.objects.create(
            name="Rope Floor",
            note="Forty paces long. Wall boxes north and south, lines 1 to 16; the piano lives here.",
        )
        self.bread_room = Room.objects.create(
            name="Bread Room",
            note="Small and dry, for one or two. Wall box by the door, lines 1 to 4.",
        )

    def fill(self) -> None:
        with acting(self.engineer):
            invite_assistant(by=self.manager)
            earlier_sessions(self)
            measure_preamplifiers(by=self.engineer)
            band = band_day(self, measured=partial(measure_bass, by=self.engineer))
            today = overdubs(self, rebuilt=fill_rebuilds)
            choose_lines(self)
            prepare_narration(self)
            book_what_is_to_come(self)
            self._faults(band)
            log_rough_mix(self)
            hand_in_rough_mixes(self)
            hand_in_stems(self)
            fill_media(self, band)
            listen_to_rough_mixes(self)
            send_rough_mixes(self)
            add_sound_files(self, today)
            import_from_oriel_yard(self, today)
            write_summary(band, by=self.engineer)
            keep_house(self)
            want_stand_ins(self)

    def book(self, project, title, starts_at, ends_at, status, room, tags=(), **more):
        session = book_session(
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
        say_sent()  # what is changed later is told of in another letter
        return session

    def parts(self, title: str, *names: str) -> list[Part]:
        """Of a song, in its order; all without a name."""
        parts = self.songs[title].parts.all()
        return list(parts.filter(name__in=names) if names else parts)

    def take(
        self,
        parts: list[Part],
        session: RecordingSession,
        setup,
        minutes: float,
        mark: str,
        *,
        lasts: float = 4,
        meanwhile=lambda: None,
        chosen: dict[str, int] | None = None,
        **facts,
    ) -> Take:
        """A take that began so many minutes into the session. `meanwhile` is done while it rolls;
        `chosen` grades the parts that were circled, by their names."""
        began = session.starts_at + timedelta(minutes=minutes)
        with as_of(began):
            take = log_take(
                *parts,
                session=session,
                setup=setup,
                started_by=self.engineer,
                rolling=True,
                **facts,
            )
        with as_of(began + timedelta(minutes=lasts / 2)):
            meanwhile()
        with as_of(began + timedelta(minutes=lasts)):
            mark_take(take, seen=dict(take.take_parts.values_list("pk", "version")), mark=mark)
            self._choose(take, chosen or {})
        return take

    def _choose(self, take: Take, chosen: dict[str, int]) -> None:
        for each in take.take_parts.filter(part__name__in=chosen).select_related("part"):
            correct_part(
                each,
                version=each.version,
                mark=each.mark,
                circled=True,
                grade=chosen[each.part.name],
            )

    def _faults(self, session: RecordingSession) -> None:
        """One that the bench works on, one that a session met."""
        bench = Fault.objects.create(
            unit=Unit.objects.get(asset_tag="CO-02"),
            description="Releases in steps once it is warm; the meter shows it too.",
            reported_by=self.engineer,
            state="worked_on",
        )
        switch = Fault.objects.create(
            unit=Unit.objects.get(asset_tag="PR-02"),
            channel=8,
            description="Low cut clicks when it is turned.",
            reported_by=self.assistant,
        )
        session.faults.add(bench, switch)


def on_the_hour(moment: datetime) -> datetime:
    return moment.replace(minute=0, second=0, microsecond=0)
