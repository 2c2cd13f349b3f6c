"""Whatever a stored paper prints, a change of it is noticed, and makes another paper."""

from datetime import timedelta

import pytest
from django.db import DatabaseError, models, transaction
from django.template.loader import render_to_string
from django.utils import timezone

from gear.equipment.models import Fault, GearModel, Unit
from gear.panels.models import Control, Panel
from gear.patchbay.models import Bay, Normal, PatchPoint, TieLine
from sessions.bookings.models import Credit, RecordingSession, Reservation, WorkedHours
from sessions.clients.models import Client, Person, Project
from sessions.deliverables.models import Deliverable
from sessions.papers.pdf import PaperSize
from sessions.papers.stored.drafts import draft_of
from sessions.papers.stored.models import StoredPaper
from sessions.papers.stored.upkeep import changed_subjects
from sessions.recall.proving.models import Measurement
from sessions.recall.sheet.stored import RECALL_SHEET
from sessions.reports.stored import CLIENTS_REPORT, SESSION_REPORT
from sessions.rooms.models import Room
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix
from sessions.setups.models import Chain, Photo, Placement, Revision, Setup, Stage, Subject
from sessions.setups.patching.actions import strike
from sessions.songs.models import LyricLine, Part, Section, Song
from sessions.takes.models import CompChoice, CompGrade, Take, TakePart
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
    TEN_O_CLOCK,
    ControlFactory,
    CreditFactory,
    DeliverableFactory,
    DeliverableFileFactory,
    FaultFactory,
    HeadphoneLineFactory,
    LyricLineFactory,
    MeasurementFactory,
    PartFactory,
    PatchPointFactory,
    PersonFactory,
    PhotoFactory,
    PlacementFactory,
    RecordingSessionFactory,
    ReservationFactory,
    SectionFactory,
    StageFactory,
    TakeFactory,
    UserFactory,
    WorkedHoursFactory,
)
from tests.histories import date_back
from tests.sessions.recall.recorded import chain_of, record

pytestmark = pytest.mark.django_db
LONG_AGO = TEN_O_CLOCK - timedelta(days=365)

ABOUT_TAKES = (
    *(TAKE_SHEET_OF_SONG, TAKE_SHEET_OF_SESSION, TRACK_SHEET_OF_SONG, TRACK_SHEET_OF_SESSION),
    *(LYRIC_SHEET, LYRIC_SHEET_OF_PART, COMP_SHEET),
)
FOLLOWING = (RECALL_SHEET, SESSION_REPORT, CLIENTS_REPORT)


def of_each(*kinds):
    return pytest.mark.parametrize("kind", kinds, ids=lambda kind: kind.path)


@pytest.fixture
def session(mixed_project):
    """Of everything that a paper may print, one."""
    part = PartFactory(song__project=mixed_project, performer=PersonFactory())
    session = RecordingSessionFactory(project=mixed_project)
    ReservationFactory(session=session)
    CreditFactory(session=session)
    WorkedHoursFactory(session=session, kind="actual")
    session.faults.add(FaultFactory())
    chain = chain_of(part, session=session)
    first, second = StageFactory(revision=chain), StageFactory(revision=chain)
    ControlFactory(panel=first.panel, key="gain")
    first.patch_out = PatchPointFactory(row="A", column=1)
    second.patch_in = PatchPointFactory(row="B", column=1, side="return", bay=first.patch_out.bay)
    first.save()
    second.save()
    strike(
        chain.chain.setup
    )  # what is not recorded goes by today's wiring only where it stood alone
    not_recorded = chain_of(PartFactory(song=part.song), session=session)
    for stage in (first, second):
        StageFactory(
            revision=not_recorded,
            unit=stage.unit,
            panel=stage.panel,
            patch_out=stage.patch_out,
            patch_in=stage.patch_in,
        )
    PlacementFactory(revision=chain)
    MeasurementFactory(revision=chain)
    HeadphoneLineFactory(mix__setup=chain.chain.setup).mix.listeners.add(part.performer)
    take = record(TakeFactory(part=part, session=session, circled=True), chain)
    line = LyricLineFactory(section=SectionFactory(song=part.song))
    CompGrade.objects.create(take_part=take.take_parts.get(), line=line, grade=4)
    DeliverableFileFactory(deliverable=DeliverableFactory(song=part.song, created_by=UserFactory()))
    return session


def edit(model, **facts):
    thing = model.objects.order_by("pk").first()
    for name, value in facts.items():
        setattr(thing, name, value)
    thing.save()


def subject_of(kind, session):
    first = {RecordingSession: session}
    return first.get(kind.subjects.model) or kind.subjects.order_by("pk").first()


def choose_a_line():
    take, line = Take.objects.order_by("pk").first(), LyricLine.objects.order_by("pk").first()
    CompChoice.objects.create(part=take.parts.get(), take=take, line=line)


def choose_for_the_comp():
    """A take that is not circled, and so is chosen only by this."""
    part = PartFactory(song=Song.objects.get(), name="Fiddle")
    take = TakeFactory(part=part, session=RecordingSession.objects.get())
    line = LyricLineFactory(section=SectionFactory(song=part.song))
    return lambda: CompChoice.objects.create(part=part, take=take, line=line)


def record_another_chain():
    part, session = Part.objects.order_by("pk").first(), RecordingSession.objects.get()
    chain = chain_of(part, session=session, source="Fiddle")
    StageFactory(revision=chain)
    PlacementFactory(revision=chain)
    record(TakeFactory(part=part, session=session, circled=True), chain)


def normal_the_jacks():
    source, destination = PatchPoint.objects.order_by("pk")
    Normal.objects.create(source=source, destination=destination, kind="full")


def tie_a_jack():
    TieLine.objects.create(
        room="Room 1", box="Box", line=1, point=PatchPoint.objects.order_by("pk").first()
    )


def photograph_a_unit():
    stage = Stage.objects.filter(revision__takes__isnull=False).order_by("pk").first()
    PhotoFactory(revision=stage.revision, subject=Subject.UNIT, unit=stage.unit)


# Fixed revisions can't be changed, only recorded anew: those come last, since they add to the rest.
CHANGES = {
    Client: lambda: edit(Client, name="Anchor Records"),
    Person: lambda: [edit_person(person) for person in Person.objects.all()],
    Project: lambda: edit(Project, name="High Water"),
    Song: lambda: edit(Song, title="Heave Away"),
    Part: lambda: edit(Part, name="Lead vocal"),
    Take: lambda: edit(Take, note="Half a tone lower."),
    TakePart: lambda: edit(TakePart, mark="master"),
    RecordingSession: lambda: edit(RecordingSession, title="Voices"),
    WorkedHours: lambda: edit(WorkedHours, starts_at=TEN_O_CLOCK - timedelta(hours=1)),
    Reservation: lambda: edit(
        Reservation, starts_at=Reservation.objects.get().ends_at.replace(hour=9)
    ),
    Room: lambda: edit(Room, name="The barn"),
    Credit: lambda: edit(Credit, instrument="Flugelhorn"),
    Fault: lambda: edit(Fault, description="Hums"),
    Deliverable: lambda: edit(Deliverable, version=9999),
    User: lambda: edit_user(Deliverable.objects.get().created_by),
    Section: lambda: edit(Section, name="Coda"),
    LyricLine: lambda: edit(LyricLine, text="Turn up the lantern"),
    CompGrade: lambda: edit(CompGrade, note="breath"),
    Setup: lambda: edit(Setup, name="By the window"),
    Chain: lambda: edit(Chain, track="Vox 2"),
    HeadphoneMix: lambda: edit(HeadphoneMix, note="More click"),
    HeadphoneLine: lambda: edit(HeadphoneLine, level="high"),
    Unit: lambda: [edit_unit(stage.unit) for stage in Stage.objects.all()],
    GearModel: lambda: [edit_model(stage.unit.model) for stage in Stage.objects.all()],
    Bay: lambda: edit(Bay, name="North bay"),
    PatchPoint: lambda: edit(PatchPoint, label="Far wall"),
    Normal: normal_the_jacks,
    TieLine: tie_a_jack,
    Photo: photograph_a_unit,
    Measurement: lambda: MeasurementFactory(
        revision=Revision.objects.filter(takes=Take.objects.first())[0]
    ),
    Revision: record_another_chain,
    Stage: record_another_chain,
    Placement: record_another_chain,
}


def edit_person(person):
    person.name = f"{person.name} the younger"
    person.save()


def edit_user(user):
    user.first_name = "Wren"
    user.save()


def edit_unit(unit):
    unit.asset_tag = f"{unit.asset_tag}x"
    unit.save()


def edit_model(model):
    model.name = f"{model.name}, later"
    model.save()


PRINTED = {
    RECALL_SHEET: (
        *(Client, Person, Project, Song, Part, Take, TakePart, CompChoice, RecordingSession),
        *(Setup, Chain, Revision, Stage, Placement, Photo, Unit, GearModel, Bay, PatchPoint),
        *(Room, Credit, Measurement),
    ),
    CLIENTS_REPORT: (
        *(User, Client, Person, Project, Song, Part, Take, TakePart, CompChoice),
        *(RecordingSession, WorkedHours, Reservation, Room, Credit, Deliverable),
        *(Setup, Chain, Revision, Stage, HeadphoneMix, HeadphoneLine),
        *(Unit, GearModel, Bay, PatchPoint, Normal, TieLine),
    ),
}
PRINTED[SESSION_REPORT] = (*PRINTED[CLIENTS_REPORT], Fault)
PRINTED[TAKE_SHEET_OF_SONG] = (
    Project,
    Song,
    Part,
    Take,
    TakePart,
    RecordingSession,
    Chain,
    Revision,
)
PRINTED[TAKE_SHEET_OF_SESSION] = PRINTED[TAKE_SHEET_OF_SONG]
PRINTED[TRACK_SHEET_OF_SONG] = (
    *(Person, Project, Song, Part, RecordingSession),
    *(Setup, Chain, Unit, GearModel, Revision, Stage),
)
PRINTED[TRACK_SHEET_OF_SESSION] = tuple(
    model for model in PRINTED[TRACK_SHEET_OF_SONG] if model is not Song
)
PRINTED[LYRIC_SHEET] = (Project, Song, Section, LyricLine)
PRINTED[LYRIC_SHEET_OF_PART] = (*PRINTED[LYRIC_SHEET], Person, Part, CompChoice)
PRINTED[COMP_SHEET] = (*PRINTED[LYRIC_SHEET_OF_PART], CompGrade)


@of_each(*FOLLOWING, *ABOUT_TAKES)
def test_every_change_of_what_is_printed_makes_another_paper(kind, session):
    subject = subject_of(kind, session)
    paper = StoredPaper(
        kind=kind.path, subject=subject.pk, size=PaperSize.A4, address="http://localhost/page/"
    )
    in_the_comp = choose_a_line if kind in ABOUT_TAKES else choose_for_the_comp()
    changes = CHANGES | {CompChoice: in_the_comp}

    def key():
        return draft_of(paper, kind.subjects.get(pk=paper.subject)).key

    unnoticed, before = [], key()
    for model in PRINTED[kind]:
        changes[model]()
        after = key()
        if before == after:
            unnoticed.append(model.__name__)
        before = after

    assert unnoticed == []


@of_each(*FOLLOWING)
def test_change_of_what_it_follows_leads_to_its_subject(kind, session):
    """Each by its lookup: a chosen take, the gear behind it, the jacks that it is patched at."""
    subject = subject_of(kind, session)
    changes = CHANGES | {CompChoice: choose_for_the_comp()}
    for lookup, model in kind.follows.items():
        date_back(model, to=LONG_AGO)
        changes[model]()

        assert subject.pk in changed_subjects(kind, LONG_AGO, timezone.now()), lookup


def other_value(field, value):
    """Something else that the field takes; None where we make nothing up."""
    if field.name in {"isrc", "iswc"}:  # have check digits
        return None
    if field.choices:
        return next(choice for choice, _ in field.flatchoices if choice != value)
    match field:
        case models.BooleanField():
            return not value
        case models.DateTimeField():
            return (value or TEN_O_CLOCK) + timedelta(days=1)
        case models.IntegerField() | models.DecimalField() | models.FloatField():
            return (value or 0) + 1
        case models.CharField() | models.TextField():
            return f"{value or ''}7"[-(field.max_length or 99) :]
    return None


class Undone(Exception):
    pass


def changed_one_by_one():
    """Each plain field of everything that a sheet reads has another value for a while."""
    further = (Panel, Control, HeadphoneMix, HeadphoneLine, Section, LyricLine)
    for model in (*PRINTED[RECALL_SHEET], *further):
        for field in model._meta.concrete_fields:
            for thing in model.objects.order_by("pk")[:2]:
                value = (
                    None if field.is_relation else other_value(field, getattr(thing, field.name))
                )
                if field.primary_key or value is None:
                    continue
                try:
                    with transaction.atomic():
                        model.objects.filter(pk=thing.pk).update(**{field.name: value})
                        yield f"{model.__name__}.{field.name}"
                        raise Undone
                except (Undone, DatabaseError):  # or the database keeps it as it was
                    continue


def test_recall_sheet_says_without_being_printed_whatever_is_printed(session):
    """Its key is made of its data and a few words besides: it must differ wherever the print does."""
    choose_a_line()
    song = Song.objects.order_by("pk").first()
    paper = StoredPaper(kind=RECALL_SHEET.path, subject=song.pk, size="a4", address="http://x/")

    def printed_and_key():
        draft = draft_of(paper, RECALL_SHEET.subjects.get(pk=song.pk))
        return render_to_string(RECALL_SHEET.template, draft.contents.context), draft.key

    printed, key = printed_and_key()
    noticed, unnoticed = set(), set()
    for name in changed_one_by_one():
        printed_now, key_now = printed_and_key()
        if printed_now != printed:
            (noticed if key_now != key else unnoticed).add(name)

    assert unnoticed == set()
    assert {"Song.title", "Unit.state", "GearModel.warm_up_minutes", "Section.name"} <= noticed
