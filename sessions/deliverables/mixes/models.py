from datetime import datetime

from django.conf import settings
from django.db import models
from django.urls import reverse

from gear.audio.values import setting_text
from gear.editing.history import History
from gear.editing.versions import Versioned
from gear.panels.models import Control, Kind
from sessions.clients.models import Project
from sessions.clients.visible import OfAProject
from sessions.setups.models.patched_unit import UNIT_AND_JACKS, PatchedUnit
from sessions.songs.models import Song

#: As it is engraved on most: the figure is what counts, not the travel.
FADER = Control(
    key="fader",
    label="Fader",
    kind=Kind.SLIDER,
    unit="dB",
    marks=[
        {"value": -90, "angle": 0, "label": "−∞"},
        {"value": -40, "angle": 15},
        {"value": -20, "angle": 38},
        {"value": -10, "angle": 58},
        {"value": 0, "angle": 80, "label": "0"},
        {"value": 10, "angle": 100},
    ],
)
#: Per cent to the left (below zero) or right.
PAN = Control(
    key="pan",
    label="Pan",
    kind=Kind.CONTINUOUS,
    marks=[
        {"value": -100, "angle": -150, "label": "L"},
        {"value": 0, "angle": 0, "label": "C"},
        {"value": 100, "angle": 150, "label": "R"},
    ],
)


def pan_text(pan: float) -> str:
    """As it is typed: L30, C, R."""
    side = "L" if pan < 0 else "R" if pan > 0 else "C"
    return f"{side}{abs(pan):g}" if 0 < abs(pan) < 100 else side


class MixSetupQuerySet(OfAProject):
    to_project = "project"

    def for_list(self):
        newest = MixRevision.objects.newest().select_related("created_by")
        return self.select_related("project").prefetch_related(
            "songs", models.Prefetch("revisions", newest, to_attr="newest_revisions")
        )


class MixSetup(Versioned):
    """What songs of a project are mixed through: no chain, since many channels meet in it.

    Its version counts every edit, whichever revision that is saved on.
    """

    project = models.ForeignKey(Project, models.PROTECT, related_name="mix_setups")
    name = models.CharField(max_length=60, help_text="Rough mixes of the band day, for example.")
    songs = models.ManyToManyField(Song, related_name="mix_setups")
    _history_m2m_fields = [songs]

    objects = MixSetupQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("project", "name", name="mix_setup_name_once_a_project"),
        ]
        ordering = ["project", "name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("mixes:setup", args=[self.pk])

    def newest_revision(self) -> "MixRevision":
        """The setup as it stands now, with its strips: a constant number of queries."""
        return self.revisions.newest().with_strips().get()


class MixRevisionQuerySet(OfAProject):
    to_project = "setup__project"

    def newest(self):
        """Of each setup, the revision with the highest number."""
        newer = MixRevision.objects.filter(
            setup=models.OuterRef("setup"), number__gt=models.OuterRef("number")
        )
        return self.filter(~models.Exists(newer))

    def in_force(self, song: Song, at: datetime):
        """Those that the song was mixed through at a moment, the likeliest first."""
        return self.filter(setup__songs=song, created_at__lte=at).order_by("-created_at", "-pk")

    def with_strips(self):
        """Revisions with all that a page or sheet prints, in a constant number of queries."""
        return self.select_related("setup__project__client", "created_by").prefetch_related(
            "setup__songs",
            "strips__sends",
            models.Prefetch("strips__inserts", MixInsert.objects.for_list()),
        )


class MixRevision(models.Model):
    """The mix setup as it stood. A deliverable that points to it fixes it; the next change is made
    on a copy."""

    #: What is said of the whole mix, apart from its strips.
    FACTS = ("workstation", "monitor_level", "print_input", "printed_as", "note")

    setup = models.ForeignKey(MixSetup, models.PROTECT, related_name="revisions")
    number = models.PositiveSmallIntegerField(default=1)
    fixed_at = models.DateTimeField(null=True, blank=True, editable=False)
    created_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    workstation = models.CharField(
        "workstation",
        max_length=200,
        blank=True,
        help_text="Program and version, session file, and what runs in it, in words.",
    )
    monitor_level = models.CharField(
        "monitor level",
        max_length=200,
        blank=True,
        help_text="Where the monitor control stood, and what that came to at the chair.",
    )
    print_input = models.CharField(
        "printed through",
        max_length=60,
        blank=True,
        help_text="The converter’s inputs that the stereo bus goes to.",
    )
    printed_as = models.CharField(
        "printed as", max_length=120, blank=True, help_text="File or track, rate and depth."
    )
    note = models.TextField(blank=True)
    history = History()

    objects = MixRevisionQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("setup", "number", name="mix_revision_number_once"),
        ]
        ordering = ["setup", "number"]

    def __str__(self) -> str:
        """Reads self.setup; if not loaded, this causes a SQL query."""
        return f"{self.setup}, revision {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("mixes:revision", args=[self.pk])

    @property
    def is_fixed(self) -> bool:
        return self.fixed_at is not None

    def inserts(self) -> "list[MixInsert]":
        """Strip by strip in signal order. No query if it is loaded `with_strips`."""
        return [insert for strip in self.strips.all() for insert in strip.inserts.all()]

    @property
    def not_yet_set(self) -> int:
        """How many controls were copied and are not yet set. Load it `with_strips`."""
        return sum(len(insert.not_yet_set) for insert in self.inserts())


class StripKind(models.TextChoices):
    """In the order in which the signal passes them."""

    CHANNEL = "channel", "Channel"
    RETURN = "return", "Return"
    BUS = "bus", "Bus"
    STEREO_BUS = "stereo_bus", "Stereo bus"


class MixStrip(models.Model):
    """A channel, return or bus of a mix. The inserts of a return are what its sends feed."""

    revision = models.ForeignKey(MixRevision, models.CASCADE, related_name="strips")
    position = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=10, choices=StripKind, default=StripKind.CHANNEL)
    name = models.CharField(max_length=40)
    plays = models.CharField(max_length=120, blank=True, help_text="Tracks or stem.")
    played_from = models.CharField(max_length=60, blank=True, help_text="The converter’s output.")
    fader_db = models.FloatField(null=True, blank=True)
    pan = models.FloatField(null=True, blank=True)
    is_muted = models.BooleanField("muted", default=False)
    feeds = models.CharField(
        max_length=40, blank=True, help_text="The bus, by its name; empty: the stereo bus."
    )
    note = models.CharField(max_length=200, blank=True)
    history = History()

    class Meta:
        ordering = ["revision", "position", "pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def fader_text(self) -> str:
        """Empty where it was not logged."""
        if self.fader_db is None:
            return ""
        return setting_text(self.fader_db, FADER.dial(), FADER.unit)

    @property
    def pan_text(self) -> str:
        """Empty where it was not logged."""
        return "" if self.pan is None else pan_text(self.pan)

    @property
    def leads_to(self) -> str:
        """Which strip it feeds; empty for the stereo bus."""
        return "" if self.kind == StripKind.STEREO_BUS else self.feeds or "Stereo bus"


class MixInsertQuerySet(OfAProject):
    to_project = "strip__revision__setup__project"

    def for_list(self):
        return self.select_related(*UNIT_AND_JACKS).prefetch_related("panel__controls")


class MixInsert(PatchedUnit):
    """A unit in a strip, with every control as it was set."""

    strip = models.ForeignKey(MixStrip, models.CASCADE, related_name="inserts")
    position = models.PositiveSmallIntegerField()
    history = History()

    objects = MixInsertQuerySet.as_manager()

    class Meta:
        ordering = ["strip", "position", "pk"]

    @property
    def tag(self) -> str:
        """As it is typed: CO-01, EQ-01/2. Reads self.unit."""
        return f"{self.unit.asset_tag}/{self.channel}" if self.channel else self.unit.asset_tag


class Tap(models.TextChoices):
    POST = "post", "after the fader"
    PRE = "pre", "before the fader"


class MixSend(models.Model):
    """What a strip sends to a return, named as that is."""

    strip = models.ForeignKey(MixStrip, models.CASCADE, related_name="sends")
    to = models.CharField(max_length=40)
    level = models.CharField(max_length=20, blank=True)
    tap = models.CharField(max_length=4, choices=Tap, default=Tap.POST)
    history = History()

    class Meta:
        constraints = [models.UniqueConstraint("strip", "to", name="mix_send_once")]
        ordering = ["strip", "pk"]

    def __str__(self) -> str:
        return " ".join(filter(None, (self.to, self.level, self.tap)))
