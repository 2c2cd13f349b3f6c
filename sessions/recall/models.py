from django.conf import settings
from django.db import models
from simple_history.models import HistoricalRecords

from gear.equipment.models import Unit
from sessions.setups.models import Stage
from sessions.songs.models import Song


class Rebuild(models.Model):
    """The setting up again of the chains behind a song's chosen takes."""

    song = models.ForeignKey(Song, models.PROTECT, related_name="rebuilds")
    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    started_at = models.DateTimeField(auto_now_add=True)
    finished_at = models.DateTimeField(null=True, blank=True)
    note = models.TextField(blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["-started_at", "-pk"]

    def __str__(self) -> str:
        """Reads self.song; if not loaded, this causes a SQL query."""
        return f"Rebuild of {self.song}"


class RebuildStep(models.Model):
    """One stage rebuilt: the unit used now, the values set, and the tone check's reading."""

    rebuild = models.ForeignKey(Rebuild, models.CASCADE, related_name="steps")
    stage = models.ForeignKey(Stage, models.PROTECT, related_name="rebuild_steps")
    unit = models.ForeignKey(
        Unit, models.PROTECT, null=True, blank=True, related_name="rebuild_steps"
    )
    values_set = models.JSONField(default=dict, blank=True)
    tone_reading_dbu = models.DecimalField(max_digits=5, decimal_places=2, null=True, blank=True)
    ticked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    ticked_at = models.DateTimeField(null=True, blank=True)
    note = models.TextField(blank=True)
    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint("rebuild", "stage", name="rebuild_step_once"),
        ]

    def __str__(self) -> str:
        return f"{self.stage}"


class PaperState(models.TextChoices):
    WAITING = "waiting", "Waiting"
    MAKING = "making", "Being made"
    KEPT = "kept", "Kept"
    FAILED = "failed", "Failed"


class KeptPaper(models.Model):
    """A recall sheet as it was made once, found again by the hash of all that it prints.

    `stamp` is the state of the house at which the sheet was last known to print the same.
    """

    key = models.CharField(max_length=64, unique=True)
    song = models.ForeignKey(Song, models.PROTECT, related_name="kept_papers")
    size = models.CharField(max_length=6)
    address = models.TextField()
    stamp = models.CharField(max_length=64)
    state = models.CharField(max_length=7, choices=PaperState, default=PaperState.WAITING)
    started_at = models.DateTimeField(null=True, blank=True)
    made_at = models.DateTimeField(null=True, blank=True)
    error = models.TextField(blank=True)
    file = models.FileField(upload_to="papers/%Y/%m", blank=True)

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        """Reads self.song; if not loaded, this causes a SQL query."""
        return f"{self.song}, {self.size}"
