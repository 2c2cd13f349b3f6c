"""A day in the studio, as long as is asked for, and every paper about it."""

from datetime import timedelta
from decimal import Decimal

from django.db.models import Model
from django.utils import timezone

from sessions.bookings.models import RecordingSession, Status
from sessions.bookings.musicians.release import RELEASE
from sessions.clients.models import Project
from sessions.deliverables.mixes.stored import MIX_SHEET
from sessions.desk.stored import CALL_SHEET, CALL_SHEET_WITHOUT_PHONES, CONFIRMATION
from sessions.money.actions import issue_paper
from sessions.money.stored import MONEY_PAPER
from sessions.papers.stored.kinds import PaperKind
from sessions.recall.models import Tick
from sessions.recall.rebuilds.actions import start_rebuild
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.stored import REBUILD_REPORT
from sessions.recall.sheet.contents import recall_sheet
from sessions.recall.sheet.stored import RECALL_SHEET
from sessions.recall.sheet.wanted import chains_of_revisions
from sessions.reports.label_copy.stored import LABEL_COPY_OF_PROJECT, LABEL_COPY_OF_SONG
from sessions.reports.stored import CLIENTS_REPORT, SESSION_REPORT
from sessions.songs.actions import write_lyrics
from sessions.songs.lyrics import read_lyrics
from sessions.songs.models import Part, Song
from sessions.takes.actions import circle_parts, log_take
from sessions.takes.sheets.stored import (
    COMP_SHEET,
    LYRIC_SHEET,
    LYRIC_SHEET_OF_PART,
    TAKE_SHEET_OF_SESSION,
    TAKE_SHEET_OF_SONG,
    TRACK_SHEET_OF_SESSION,
    TRACK_SHEET_OF_SONG,
)
from studio.models import User
from tests.factories import (
    CancellationStepFactory,
    CreditFactory,
    DeliverableFactory,
    DeliverableFileFactory,
    FaultFactory,
    MixInsertFactory,
    MixRevisionFactory,
    MixStripFactory,
    PartFactory,
    PersonFactory,
    RateCardFactory,
    RateFactory,
    RecordingSessionFactory,
    ReleaseFactory,
    ReservationFactory,
    SignatureFactory,
    SongFactory,
    WorkedHoursFactory,
)
from tests.measure.fill.chains import set_up
from tests.measure.fill.house import furnish
from tests.sessions.takes.seen import seen

KINDS = [
    RECALL_SHEET,
    SESSION_REPORT,
    CLIENTS_REPORT,
    CALL_SHEET,
    CALL_SHEET_WITHOUT_PHONES,
    CONFIRMATION,
    MONEY_PAPER,
    REBUILD_REPORT,
    TAKE_SHEET_OF_SONG,
    TAKE_SHEET_OF_SESSION,
    TRACK_SHEET_OF_SONG,
    TRACK_SHEET_OF_SESSION,
    LYRIC_SHEET,
    LYRIC_SHEET_OF_PART,
    COMP_SHEET,
    MIX_SHEET,
    RELEASE,
    LABEL_COPY_OF_SONG,
    LABEL_COPY_OF_PROJECT,
]


def day_of(chains: int, **facts) -> RecordingSession:
    """Wrapped, with a part, a person, a unit, a verse, three takes and a file for each chain, and a
    price. The house has one manager, odile."""
    house = furnish(rooms=1, chains=chains)
    booth, now = house.booths[0], timezone.now().replace(microsecond=0)
    terms = CancellationStepFactory().terms
    session = RecordingSessionFactory(
        title="Voices, round the room",
        starts_at=now - timedelta(hours=4),
        ends_at=now,
        status=Status.UNDER_WAY,
        rate_card=RateCardFactory(),
        cancellation_terms=terms,
        note="Rain on the roof until noon.",
        left_to_do="Edit the last chorus.",
        **facts,
    )
    song = SongFactory(project=session.project, title="Slow the Lantern")
    people = [PersonFactory(name=f"Person {n}", does="Singer") for n in range(1, chains + 1)]
    units = [rack[0].unit for rack in booth.chains]
    for taken in (booth.room, *people, *units):
        names = {"room": None} | {type(taken).__name__.lower(): taken}
        ReservationFactory(session=session, **names)
        RateFactory(card=session.rate_card, **names)
    parts = [
        PartFactory(song=song, name=f"Voice {n}", position=n, performer=person)
        for n, person in enumerate(people, 1)
    ]
    verses = (f"[Verse {n}, bar {8 * n}]\nSlow\nthe lantern" for n, _ in enumerate(parts, 1))
    write_lyrics(song, version=song.version, written=read_lyrics("\n".join(verses)))
    setup = set_up(session, parts, booth, by=house.manager)
    for part in parts:
        CreditFactory(session=session, person=part.performer)
        for note in ("", "Breath before the last line.", "The one"):
            take = log_take(part, session=session, setup=setup, note=note)
        circle_parts(take, seen=seen(take), circled=True)
        session.faults.add(FaultFactory(description="Crackles when it is touched."))
        file = DeliverableFactory(song=song, created_by=house.manager)
        DeliverableFileFactory(deliverable=file, original_name=f"{part.name}.wav")
    WorkedHoursFactory(
        session=session, kind="actual", starts_at=session.starts_at, ends_at=session.ends_at
    )
    session.status = Status.WRAPPED
    session.save()
    return session


def subject_of(kind: PaperKind, session: RecordingSession) -> Model:
    """What the paper of that kind is about."""
    song, by = session.takes.first().song, User.objects.get(username="odile")
    if kind == MONEY_PAPER:
        subject = issue_paper(session, kind="work_order", by=by, note="Tea included")
    elif kind == REBUILD_REPORT:
        subject = _half_done(song, by)
    elif kind == RELEASE:
        person = session.credits.first().person
        subject = ReleaseFactory(session=session, person=person, signature=SignatureFactory())
    elif kind == MIX_SHEET:
        subject = _mix_of(song)
    else:
        about = {Song: song, Part: song.parts.first(), RecordingSession: session}
        about |= {Project: session.project}
        subject = about[kind.subjects.model]
    return kind.subjects.get(pk=subject.pk)


def _mix_of(song):
    """Two strips for each chain of the song, one with a unit that chain goes through."""
    revision = MixRevisionFactory(setup__project=song.project, setup__songs=[song])
    for sheet in recall_sheet(song).chains:
        stage = sheet.stages[-1].stage
        strip = MixStripFactory(revision=revision, fader_db=-6, pan=-30, plays="Alto voice")
        facts = {"panel": stage.panel, "settings": stage.settings}
        MixInsertFactory(strip=strip, unit=stage.unit, channel=stage.channel, **facts)
        MixStripFactory(revision=revision)
    return revision


def _half_done(song, by):
    """Every other logged control set otherwise, every tone read."""
    chains = chains_of_revisions(chain.revision for chain in recall_sheet(song).chains)
    rebuild = start_rebuild(song, chains=chains, by=by)
    for chain in checklist_of(rebuild).chains:
        for line in chain.stages:
            line.step.tone_reading_dbu = Decimal(4)
            line.step.tone_read_at = timezone.now()
            line.step.save()
            for control in line.controls[::2]:
                if control.logged is not None:
                    other = control.control.marks[0]["value"]
                    Tick.objects.create(
                        step=line.step, key=control.control.key, value=other, ticked_by=by
                    )
    return rebuild
