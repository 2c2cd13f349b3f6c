from itertools import groupby

from django.conf import settings
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from gear.equipment.models import Unit
from gear.panels.models import Control, Panel
from gear.patchbay.models import PatchPoint
from sessions.bookings.models import RecordingSession
from sessions.setups.names import NamesAsKept
from sessions.songs.models import Part


class SetupQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(session__in=RecordingSession.objects.visible_to(user))

    def with_chains(self):
        """Setups with their chains as they stand now, in a constant number of queries."""
        return self.select_related("session__project").prefetch_related(
            models.Prefetch("chains", Chain.objects.with_newest_revision())
        )


class Setup(models.Model):
    """What stands in the room for one part of the day."""

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="setups")
    position = models.PositiveSmallIntegerField(default=1)
    name = models.CharField(max_length=80, help_text="Group vocals, morning; fiddle overdubs …")
    buffer_samples = models.PositiveIntegerField(
        "buffer, samples",
        null=True,
        blank=True,
        help_text="The buffer that the performers monitor through.",
    )
    converter_samples = models.PositiveIntegerField(
        "converters, samples",
        null=True,
        blank=True,
        help_text="In and out together, as their makers state it. Empty: the models' own facts.",
    )
    note = models.TextField(blank=True)
    struck_at = models.DateTimeField(
        "taken down at",
        null=True,
        blank=True,
        editable=False,
        help_text="Empty while it is up: setups that are up share the patch bays.",
    )
    history = HistoricalRecords()

    objects = SetupQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("session", "name", name="setup_name_once_a_session"),
        ]
        ordering = ["session", "position", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("setups:session", args=[self.session_id])

    @property
    def is_up(self) -> bool:
        return self.struck_at is None


class ChainQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(setup__in=Setup.objects.visible_to(user))

    def with_newest_revision(self):
        """Chains whose `newest_revision()` costs no query, with all its stages."""
        return self.select_related("part__song").prefetch_related(
            models.Prefetch(
                "revisions", Revision.objects.newest().with_stages(), to_attr="newest_revisions"
            )
        )


class Chain(models.Model):
    """The way of one source to one recorded track."""

    setup = models.ForeignKey(Setup, models.PROTECT, related_name="chains")
    position = models.PositiveSmallIntegerField(default=1)
    source = models.CharField(max_length=80, help_text="What the microphone hears.")
    part = models.ForeignKey(Part, models.PROTECT, null=True, blank=True, related_name="chains")
    track = models.CharField(max_length=60, help_text="The recorded track's name.")
    destination_input = models.CharField(
        max_length=40, blank=True, help_text="The recorder's or interface's input."
    )
    history = HistoricalRecords()

    objects = ChainQuerySet.as_manager()

    class Meta:
        ordering = ["setup", "position", "pk"]

    def __str__(self) -> str:
        return f"{self.source} to {self.track}"

    def get_absolute_url(self) -> str:
        return reverse("setups:chain", args=[self.pk])

    def newest_revision(self):
        """The chain as it stands now. Costs queries unless loaded `with_newest_revision`."""
        if "newest_revisions" in self.__dict__:
            return self.newest_revisions[0]
        return self.revisions.newest().with_stages().get()

    def is_recorded(self) -> bool:
        """Whether takes were recorded through it, so that its words are no longer free. A query."""
        return self.revisions.filter(fixed_at__isnull=False).exists()


class RevisionQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(chain__in=Chain.objects.visible_to(user))

    def newest(self):
        """Of each chain, the revision with the highest number."""
        newer = Revision.objects.filter(
            chain=models.OuterRef("chain"), number__gt=models.OuterRef("number")
        )
        return self.filter(~models.Exists(newer))

    def with_stages(self):
        """Revisions with all that a page or sheet of them prints, in a constant number of queries."""
        return self.select_related(
            "chain__setup__session__project", "chain__part__song", "placement", "created_by"
        ).prefetch_related(models.Prefetch("stages", Stage.objects.for_list()))


class Revision(models.Model):
    """The chain as it stood. A take that points to it fixes it; the next change is made on a copy."""

    chain = models.ForeignKey(Chain, models.PROTECT, related_name="revisions")
    number = models.PositiveSmallIntegerField(default=1)
    fixed_at = models.DateTimeField(null=True, blank=True, editable=False)
    created_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    version = models.PositiveIntegerField(
        default=1, editable=False, help_text="Counts the edits, so that two editors notice."
    )
    source_spl_db = models.DecimalField(
        "source level, dB SPL", max_digits=4, decimal_places=1, null=True, blank=True
    )
    source_distance_cm = models.DecimalField(
        "that level holds at, cm",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        help_text="Empty: at the microphone.",
    )
    source_dbu = models.DecimalField(
        "source level, dBu",
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        help_text="Of an instrument or a player that comes in by cable.",
    )
    tone_hz = models.DecimalField(
        "test tone, Hz", max_digits=7, decimal_places=1, null=True, blank=True
    )
    tone_dbu = models.DecimalField(
        "test tone, dBu",
        max_digits=5,
        decimal_places=2,
        null=True,
        blank=True,
        help_text="Fed into the first input after the source.",
    )
    readings_from = models.PositiveSmallIntegerField(
        null=True,
        blank=True,
        editable=False,
        help_text="The number of the revision on which the stages' levels were read.",
    )
    note = models.TextField(blank=True)
    wiring = models.JSONField(
        default=dict,
        blank=True,
        editable=False,
        help_text="How the bays were wired when it was fixed.",
    )
    history = HistoricalRecords()

    objects = RevisionQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("chain", "number", name="revision_number_once"),
        ]
        ordering = ["chain", "number"]

    def __str__(self) -> str:
        """Reads self.chain; if not loaded, this causes a SQL query."""
        return f"{self.chain}, revision {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("setups:revision", args=[self.pk])

    @property
    def is_fixed(self) -> bool:
        return self.fixed_at is not None

    def units_out_of_service(self) -> list[Unit]:
        """Those of its units that are at the bench or retired today. Load it `with_stages`."""
        units = dict.fromkeys(stage.unit for stage in self.stages.all())
        return [unit for unit in units if not unit.is_in_service]


class Path(models.TextChoices):
    PRINTED = "printed", "Printed"
    MONITOR_ONLY = "monitor", "Monitor only"


class StageQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(revision__in=Revision.objects.visible_to(user))

    def for_list(self):
        """Stages with all that a page or sheet prints; those of a fixed revision go by the names
        that things had then, in memory: never save a unit or patch point that came this way."""
        stages = self.select_related(
            "unit__model", "unit__supply__model", "panel", "patch_in__bay", "patch_out__bay"
        ).prefetch_related("panel__controls")
        stages._iterable_class = NamesAsKept
        return stages


class Stage(models.Model):
    """One unit in a chain, with every control as it was set.

    `settings` maps a control's key to a number on that control's scale; a control that is missing
    from it was not logged. `names` keeps what things were called when the revision was fixed.
    """

    revision = models.ForeignKey(Revision, models.CASCADE, related_name="stages")
    position = models.PositiveSmallIntegerField()
    unit = models.ForeignKey(Unit, models.PROTECT, related_name="stages")
    panel = models.ForeignKey(Panel, models.PROTECT, null=True, blank=True, related_name="stages")
    path = models.CharField(max_length=8, choices=Path, default=Path.PRINTED)
    patch_in = models.ForeignKey(
        PatchPoint,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="stages_in",
        verbose_name="patched in at",
    )
    patch_out = models.ForeignKey(
        PatchPoint,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="stages_out",
        verbose_name="patched out at",
    )
    settings = models.JSONField(default=dict, blank=True)
    names = models.JSONField(default=dict, blank=True, editable=False)
    tone_reading_dbu = models.DecimalField(
        "tone at its output, dBu", max_digits=5, decimal_places=2, null=True, blank=True
    )
    reading_out_dbu = models.DecimalField(
        "level at its output, dBu", max_digits=5, decimal_places=2, null=True, blank=True
    )
    planned_reduction_low_db = models.DecimalField(
        "planned gain reduction from, dB", max_digits=4, decimal_places=1, null=True, blank=True
    )
    planned_reduction_high_db = models.DecimalField(
        "planned gain reduction to, dB", max_digits=4, decimal_places=1, null=True, blank=True
    )
    note = models.TextField(blank=True)
    history = HistoricalRecords()

    objects = StageQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("revision", "position", name="stage_position_once"),
        ]
        ordering = ["revision", "position"]

    def __str__(self) -> str:
        """Reads self.unit.model; if not loaded, this causes SQL queries."""
        return f"{self.position}. {self.unit}"

    @property
    def is_printed(self) -> bool:
        return self.path == Path.PRINTED

    def controls(self) -> list[Control]:
        """Its panel's controls in signal order. Costs a query unless loaded `for_list`."""
        return list(self.panel.controls.all()) if self.panel else []

    def setting(self, control: Control) -> float | None:
        """How the control was set, in its unit; None when that was not logged."""
        return self.settings.get(control.key)

    def settings_by_group(self) -> list[tuple[str, list[tuple[Control, float | None]]]]:
        """The groups of the panel in signal order, each with its controls and how they were set."""
        return [
            (group, [(control, self.setting(control)) for control in controls])
            for group, controls in groupby(self.controls(), key=lambda control: control.group)
        ]


class PlacementQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(revision__in=Revision.objects.visible_to(user))


class Orientation(models.TextChoices):
    UPRIGHT = "upright", "Upright"
    HUNG = "hung", "Hung upside down"
    SIDEWAYS = "sideways", "On its side"


class Placement(models.Model):
    """Where the microphone stood: enough to put it back."""

    revision = models.OneToOneField(Revision, models.CASCADE, related_name="placement")
    distance_cm = models.DecimalField(
        "distance, cm",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        help_text="From the capsule to the source.",
    )
    height_cm = models.DecimalField(
        "height, cm",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        help_text="Of the capsule above the floor.",
    )
    angle_deg = models.DecimalField(
        "angle, degrees",
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        help_text="Between the microphone's axis and the source; 0 is straight on.",
    )
    orientation = models.CharField("capsule", max_length=10, choices=Orientation, blank=True)
    pattern = models.CharField(max_length=40, blank=True, help_text="Cardioid, omnidirectional …")
    pop_filter = models.BooleanField("pop filter", default=False)
    pop_filter_cm = models.DecimalField(
        "pop filter to capsule, cm", max_digits=5, decimal_places=1, null=True, blank=True
    )
    note = models.TextField(blank=True)
    photo = models.ImageField(upload_to="placements/%Y/%m", blank=True)
    history = HistoricalRecords()

    objects = PlacementQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.distance_cm} cm" if self.distance_cm is not None else "not measured"
