from django.conf import settings
from django.db import models
from django.urls import reverse

from gear.editing.history import History
from gear.editing.versions import Versioned
from gear.equipment.models import Unit
from gear.panels.models import Panel
from sessions.clients.visible import OfAProject
from sessions.setups.models import Setup, Stage
from sessions.songs.models import Song


class ImportedSheetQuerySet(models.QuerySet):
    def visible_to(self, user):
        """Those of the songs that the user sees, and the previews that they imported."""
        of_songs = models.Q(song__in=Song.objects.visible_to(user))
        return self.filter(of_songs | models.Q(song=None, imported_by=user))

    def for_list(self):
        return self.select_related("song__project", "imported_by")


class ImportedSheet(models.Model):
    """A recall sheet's data as another studio wrote it, kept as it came, for a song here.

    Without a song it is a preview, for the one who imported it.
    """

    song = models.ForeignKey(
        Song, models.PROTECT, null=True, blank=True, related_name="imported_sheets"
    )
    data = models.JSONField(help_text="As the schema of the recall data says.")
    file_name = models.CharField(max_length=200)
    studio = models.CharField("from the studio", max_length=200, blank=True)
    title = models.CharField("its title there", max_length=200, blank=True)
    imported_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    imported_at = models.DateTimeField(auto_now_add=True)
    history = History(excluded_fields=["data"])

    objects = ImportedSheetQuerySet.as_manager()

    class Meta:
        ordering = ["-imported_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.title or 'Without a title'} from {self.studio or 'another studio'}"

    def get_absolute_url(self) -> str:
        return reverse("imported:detail", args=[self.pk])


class RebuildQuerySet(OfAProject):
    to_project = "song__project"

    def with_names(self):
        """Rebuilds with everything that their own pages name."""
        return self.select_related(
            "song__project", "imported", "started_by", "finished_by", "setup__session"
        )

    def for_list(self):
        """Rebuilds with their song and the number of their stages as `step_count`."""
        return self.select_related("song__project", "imported", "started_by").annotate(
            step_count=models.Count("steps")
        )


class Rebuild(models.Model):
    """The setting up again of the chains behind a song's chosen takes.

    Finished, it is a setup of a session: every chain of it a chain of its own.
    """

    song = models.ForeignKey(Song, models.PROTECT, related_name="rebuilds")
    imported = models.ForeignKey(
        ImportedSheet, models.PROTECT, null=True, blank=True, related_name="rebuilds"
    )
    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    started_at = models.DateTimeField(auto_now_add=True)
    finished_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    finished_at = models.DateTimeField(null=True, blank=True)
    setup = models.OneToOneField(
        Setup, models.PROTECT, null=True, blank=True, related_name="rebuild"
    )
    note = models.TextField(blank=True)
    history = History()

    objects = RebuildQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(finished_at__isnull=True, setup__isnull=True)
                | models.Q(finished_at__isnull=False, setup__isnull=False),
                name="rebuild_finished_is_a_setup",
            ),
        ]
        ordering = ["-started_at", "-pk"]

    def __str__(self) -> str:
        """Reads self.song; if not loaded, this causes a SQL query."""
        return f"Rebuild of {self.song}"

    def get_absolute_url(self) -> str:
        return reverse("rebuild:detail", args=[self.pk])

    @property
    def is_finished(self) -> bool:
        return self.finished_at is not None


class RebuildStep(Versioned):
    """One stage of the recall set up again: the unit used now, and the tone check's reading.

    What it was stands at `stage`, or, of an imported sheet, in its data at
    `chain_number` and `position`. Without a unit of the gear it is set up with one from outside, on
    the panel that the sheet has of it, unless it is left out.
    """

    rebuild = models.ForeignKey(Rebuild, models.CASCADE, related_name="steps")
    chain_number = models.PositiveSmallIntegerField()
    position = models.PositiveSmallIntegerField()
    stage = models.ForeignKey(
        Stage, models.PROTECT, null=True, blank=True, related_name="rebuild_steps"
    )
    unit = models.ForeignKey(
        Unit, models.PROTECT, null=True, blank=True, related_name="rebuild_steps"
    )
    outside_unit = models.CharField(
        "unit from outside",
        max_length=80,
        blank=True,
        help_text="One that isn’t in the gear: hired.",
    )
    is_left_out = models.BooleanField(default=False)
    channel = models.PositiveSmallIntegerField(null=True, blank=True)
    panel = models.ForeignKey(Panel, models.PROTECT, null=True, blank=True, related_name="+")
    in_place_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    in_place_at = models.DateTimeField(null=True, blank=True)
    chosen_at = models.DateTimeField(
        null=True, blank=True, editable=False, help_text="When its unit was last chosen by hand."
    )
    tone_reading_dbu = models.DecimalField(max_digits=5, decimal_places=2, null=True, blank=True)
    tone_read_at = models.DateTimeField(null=True, blank=True, editable=False)
    rebuilt = models.OneToOneField(  # the chain that it became goes on being edited
        Stage, models.SET_NULL, null=True, blank=True, related_name="rebuilt_by"
    )
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                "rebuild", "chain_number", "position", name="rebuild_step_once"
            ),
            models.CheckConstraint(
                condition=models.Q(outside_unit="") | models.Q(unit=None, is_left_out=False),
                name="rebuild_step_from_outside_has_no_unit",
            ),
            models.CheckConstraint(
                condition=models.Q(is_left_out=False) | models.Q(unit=None),
                name="rebuild_step_left_out_has_no_unit",
            ),
        ]
        ordering = ["rebuild", "chain_number", "position"]

    def __str__(self) -> str:
        return f"Chain {self.chain_number}, stage {self.position}"

    @property
    def is_from_outside(self) -> bool:
        """Set up with a unit that isn’t in the gear, also where nobody said yet which."""
        return self.unit_id is None and not self.is_left_out

    @property
    def is_in_place(self) -> bool:
        return self.in_place_at is not None


class Tick(Versioned):
    """One control of a rebuilt stage as it was set. A row of its own, so that two people can tick
    two controls of one stage at the same time; `value` is None where a tick was taken back."""

    step = models.ForeignKey(RebuildStep, models.CASCADE, related_name="ticks")
    key = models.SlugField(max_length=40, help_text="Of the control on the step’s panel.")
    value = models.FloatField(null=True, blank=True)
    ticked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    ticked_at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [
            models.UniqueConstraint("step", "key", name="tick_once_a_control"),
        ]
        ordering = ["step", "key"]

    def __str__(self) -> str:
        return f"{self.key}: {self.value}"
