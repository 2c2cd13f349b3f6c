"""What has its changes told, on which page, and of which parts.

A change of a part (a line of a song, a unit of a chain) is told on the page of the thing that it
belongs to. Who may open that page may read them, and those of a part that another page shows only if
they may open that one, too. `tests/studio/changes/test_kinds.py` names what stands nowhere here.
"""

from collections.abc import Callable
from dataclasses import dataclass

from django.db.models import Model, QuerySet
from django.urls import reverse

from gear.equipment.models import Fault, GearModel, Unit
from gear.panels.models import Control, Panel
from gear.patchbay.models import Bay, Normal, PatchPoint, TieLine
from sessions.bookings.models import (
    Attendance,
    AttendanceBreak,
    Block,
    Challenge,
    Credit,
    CreditedOn,
    GearSet,
    RecordingSession,
    Release,
    Reservation,
    Series,
    WorkedHours,
)
from sessions.calendar.feeds.models import FeedAddress
from sessions.clients.models import Client, Person, Project
from sessions.deliverables.listening.models import MixNote, Verdict
from sessions.deliverables.media.models import (
    Handover,
    IncomingMaterial,
    MediaCopy,
    Medium,
    WorkstationFile,
)
from sessions.deliverables.mixes.models import MixInsert, MixRevision, MixSend, MixSetup, MixStrip
from sessions.deliverables.models import Deliverable, DeliverableFile
from sessions.deliveries.models import (
    ApprovedRecipient,
    Delivery,
    DeliveryEvent,
    DeliveryLink,
    DeliveryRecipient,
)
from sessions.money.overtime.models import Overtime
from sessions.recall.models import ImportedSheet, Rebuild, RebuildStep, Tick
from sessions.recall.proving.models import Measurement
from sessions.rooms.models import HouseRules, Room, Studio, WeeklyHours
from sessions.setups.headphones.models import HeadphoneLine, HeadphoneMix
from sessions.setups.models import (
    Chain,
    ChainGroup,
    Photo,
    Placement,
    Revision,
    Setup,
    Source,
    Stage,
)
from sessions.songs import models as songs
from sessions.songs.models import LyricLine, Section, Song
from sessions.takes.models import CompChoice, CompGrade, Take, TakeFile, TakePart
from sessions.terms.agreements.models import Agreement
from sessions.terms.models import CancellationStep, CancellationTerms, Rate, RateCard
from studio.models import User
from studio.password_links import PasswordLink


@dataclass(frozen=True)
class Part:
    """Rows whose key `via` leads to the thing, or to another part `of` it. `page`: who reads of them
    may open that one. One that is not `told` of only leads to others."""

    model: type[Model]
    via: str
    of: "Part | None" = None
    page: str = ""
    told: bool = True
    among: Callable[[User], QuerySet] | None = None  # in place of `via`


@dataclass(frozen=True)
class Kind:
    """`page` shows the thing, without its key where there is but one `alone`; without `itself` only its
    parts are told of. `visible` to a user are those of the model that say so, else all."""

    model: type[Model]
    page: str
    parts: tuple[Part, ...] = ()
    itself: bool = True
    alone: bool = False
    visible: Callable[[User], QuerySet] | None = None

    def visible_to(self, user: User) -> QuerySet:
        if self.visible:
            return self.visible(user)
        rows = self.model._default_manager.all()
        return rows.visible_to(user) if hasattr(rows, "visible_to") else rows

    def address(self, key: int) -> str:
        return reverse(self.page, args=[] if self.alone else [key])


SECTIONS, PANELS, POINTS = Part(Section, "song"), Part(Panel, "model"), Part(PatchPoint, "bay")
REVISIONS, MIX_REVISIONS = Part(Revision, "chain"), Part(MixRevision, "setup")
STRIPS = Part(MixStrip, "revision", of=MIX_REVISIONS)
CREDITS, ATTENDANCES = (
    Part(Credit, "session"),
    Part(Attendance, "session", page="musicians:session"),
)
SETUPS, STEPS = Part(Setup, "session"), Part(RebuildStep, "rebuild")
MIXES = Part(HeadphoneMix, "setup", of=SETUPS)
TAKES = Part(Take, "session")
TAKE_PARTS = Part(TakePart, "part", told=False)
RECIPIENTS = Part(DeliveryRecipient, "delivery", told=False)

KINDS = {
    "song": Kind(
        Song,
        "songs:detail",
        (SECTIONS, Part(LyricLine, "section", of=SECTIONS), Part(songs.Part, "song")),
    ),
    "comp": Kind(
        songs.Part,
        "comp:sheet",
        (TAKE_PARTS, Part(CompGrade, "take_part", of=TAKE_PARTS), Part(CompChoice, "part")),
    ),
    "session": Kind(
        RecordingSession,
        "bookings:detail",
        (
            Part(Reservation, "session"),
            CREDITS,
            Part(CreditedOn, "credit", of=CREDITS),
            ATTENDANCES,
            Part(AttendanceBreak, "attendance", of=ATTENDANCES, page="musicians:session"),
            Part(Release, "session", page="musicians:session"),
            Part(WorkedHours, "session", page="bookings:hours"),
            Part(Overtime, "session", page="sign_off:session"),
            Part(Challenge, "hold", page="holds:challenge"),
        ),
    ),
    "series": Kind(
        Series,
        "series:detail",
        (Part(RecordingSession, "series"),),
        visible=lambda user: Series.objects.filter(
            sessions__in=RecordingSession.objects.visible_to(user)
        ).distinct(),
    ),
    "takes": Kind(
        RecordingSession,
        "takes:session_list",
        (
            TAKES,
            Part(TakePart, "take", of=TAKES),
            Part(TakeFile, "session", page="take_files:session"),
        ),
        itself=False,
    ),
    "take": Kind(Take, "takes:edit", (Part(TakePart, "take"),)),
    "setups": Kind(
        RecordingSession,
        "setups:session",
        (
            SETUPS,
            Part(Source, "setup", of=SETUPS),
            Part(ChainGroup, "setup", of=SETUPS),
            Part(Chain, "setup", of=SETUPS),
            Part(Photo, "setup", of=SETUPS),
            MIXES,
            Part(HeadphoneLine, "mix", of=MIXES),
        ),
        itself=False,
    ),
    "chain": Kind(
        Chain,
        "setups:chain",
        (
            REVISIONS,
            Part(Stage, "revision", of=REVISIONS),
            Part(Placement, "revision", of=REVISIONS),
            Part(Measurement, "revision", of=REVISIONS),
        ),
    ),
    "source": Kind(Source, "setups:source"),
    "photo": Kind(Photo, "setups:photo"),
    "headphones": Kind(HeadphoneMix, "headphones:edit", (Part(HeadphoneLine, "mix"),)),
    "group": Kind(ChainGroup, "setups:group_edit"),
    "unit": Kind(Unit, "setups:for_unit", (Part(Fault, "unit"), Part(Measurement, "unit"))),
    "model": Kind(GearModel, "equipment:model_detail", (PANELS, Part(Control, "panel", of=PANELS))),
    "bay": Kind(
        Bay,
        "patchbay:bay_detail",
        (
            POINTS,
            Part(Normal, "source", of=POINTS),
            Part(TieLine, "point", of=POINTS),
        ),
    ),
    "client": Kind(
        Client, "clients:detail", (Part(Agreement, "client", page="terms:agreed_client"),)
    ),
    "person": Kind(
        Person, "clients:person_detail", (Part(WeeklyHours, "person", page="rooms:hours"),)
    ),
    "project": Kind(
        Project,
        "clients:project_detail",
        (Part(Agreement, "project", page="terms:agreed_project"),),
    ),
    "recipients": Kind(
        Project, "deliveries:project", (Part(ApprovedRecipient, "project"),), itself=False
    ),
    "media": Kind(
        Project,
        "media:project",
        (
            Part(WorkstationFile, "project"),
            Part(MediaCopy, "project"),
            Part(IncomingMaterial, "project"),
            Part(Handover, "project"),
        ),
        itself=False,
    ),
    "medium": Kind(Medium, "media:medium", (Part(MediaCopy, "medium"), Part(Handover, "medium"))),
    "deliverable": Kind(
        Deliverable,
        "deliverables:detail",
        (
            Part(DeliverableFile, "deliverable"),
            Part(MixNote, "deliverable"),
            Part(Verdict, "deliverable"),
        ),
    ),
    "mix": Kind(
        MixSetup,
        "mixes:setup",
        (
            MIX_REVISIONS,
            STRIPS,
            Part(MixInsert, "strip", of=STRIPS),
            Part(MixSend, "strip", of=STRIPS),
        ),
    ),
    "delivery": Kind(
        Delivery,
        "deliveries:detail",
        (
            RECIPIENTS,
            Part(DeliveryLink, "recipient", of=RECIPIENTS),
            Part(DeliveryEvent, "recipient", of=RECIPIENTS),
        ),
    ),
    "rebuild": Kind(
        Rebuild,
        "rebuild:detail",
        (STEPS, Part(Tick, "step", of=STEPS), Part(Measurement, "rebuild")),
    ),
    "imported": Kind(ImportedSheet, "imported:detail"),
    "room": Kind(Room, "rooms:edit", (Part(WeeklyHours, "room", page="rooms:hours"),)),
    "studio": Kind(Studio, "rooms:studio", alone=True),
    "house-rules": Kind(HouseRules, "rooms:house_rules", alone=True),
    "rates": Kind(RateCard, "terms:card", (Part(Rate, "card"),)),
    "terms": Kind(CancellationTerms, "terms:detail", (Part(CancellationStep, "terms"),)),
    "agreed": Kind(
        Agreement,
        "terms:agreed_house",
        alone=True,
        visible=lambda user: Agreement.objects.filter(client=None, project=None),
    ),
    "gear-set": Kind(GearSet, "gear_sets:edit"),
    "block": Kind(Block, "blocks:edit", (Part(Reservation, "block"),)),
    "release": Kind(Release, "musicians:release"),
    "sign-in": Kind(User, "sign_in_edit", (Part(PasswordLink, "user"),)),
    "feeds": Kind(
        User,
        "feeds:list",
        (Part(FeedAddress, "", among=lambda user: FeedAddress.objects.visible_to(user)),),
        itself=False,
        alone=True,
        visible=lambda user: User.objects.filter(pk=user.pk),
    ),
}
