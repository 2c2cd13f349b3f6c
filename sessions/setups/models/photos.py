from collections.abc import Iterable

from django.conf import settings
from django.db import models
from django.urls import reverse

from gear.editing.versions import Versioned
from gear.equipment.models import Unit
from gear.patchbay.models import Bay
from sessions.clients.visible import OfAProject


class Subject(models.TextChoices):
    """What a photograph is of: the first three of a chain, the others of the whole setup."""

    UNIT = "unit", "Unit"
    PLACEMENT = "placement", "Placement"
    SOURCE = "source", "Source"
    RACK = "rack", "Rack"
    BAY = "bay", "Patch bay"
    FLOOR = "floor", "Floor"
    SETUP = "setup", "Whole setup"


OF_A_CHAIN = (Subject.UNIT, Subject.PLACEMENT, Subject.SOURCE)


class PhotoQuerySet(OfAProject):
    to_project = "setup__session__project"

    def for_list(self):
        return self.select_related("setup", "revision", "unit", "bay", "taken_by")


class Photo(Versioned):
    """A photograph of a setup, or of a chain as it stood in one revision.

    `about` names the subject as it was called then. `shown` is what was logged of it when it was
    taken (`photos/changes.py`), `reads` the keys of a unit's controls that can be read on it.
    """

    setup = models.ForeignKey("Setup", models.PROTECT, related_name="photos")
    revision = models.ForeignKey(
        "Revision", models.PROTECT, null=True, blank=True, related_name="photos"
    )
    subject = models.CharField(max_length=10, choices=Subject)
    unit = models.ForeignKey(Unit, models.PROTECT, null=True, blank=True, related_name="photos")
    channel = models.PositiveSmallIntegerField(null=True, blank=True)
    bay = models.ForeignKey(Bay, models.PROTECT, null=True, blank=True, related_name="photos")
    about = models.CharField(max_length=200)
    caption = models.CharField(max_length=200, blank=True)
    file = models.FileField(upload_to="photos", max_length=80)
    sha256 = models.CharField(max_length=64)
    width = models.PositiveSmallIntegerField()
    height = models.PositiveSmallIntegerField()
    shown = models.JSONField(default=dict, blank=True)
    reads = models.JSONField(default=list, blank=True)
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    taken_at = models.DateTimeField(auto_now_add=True)

    objects = PhotoQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(subject__in=OF_A_CHAIN, revision__isnull=False)
                | ~models.Q(subject__in=OF_A_CHAIN) & models.Q(revision__isnull=True),
                name="photo_of_a_chain_has_its_revision",
            ),
        ]
        ordering = ["taken_at", "pk"]

    def __str__(self) -> str:
        return f"{self.get_subject_display()}: {self.about}"

    def get_absolute_url(self) -> str:
        return reverse("setups:photo", args=[self.pk])

    @property
    def what(self) -> tuple:
        """The same for all photographs of one thing."""
        return self.subject, self.unit_id, self.channel, self.bay_id, self.about

    @property
    def is_kept(self) -> bool:
        """Whether a take used what it shows: then it can't be removed. A query for a whole setup's."""
        if self.revision:
            return self.revision.is_fixed
        return self.setup.chains.filter(revisions__fixed_at__isnull=False).exists()

    def shows(self, stage) -> bool:
        return self.subject == Subject.UNIT and (self.unit_id, self.channel) == (
            stage.unit_id,
            stage.channel,
        )


def in_force(photos: Iterable[Photo], revision) -> list[Photo]:
    """Of each thing in the chain the photographs of the last revision, up to this one, that has any."""
    ours = [
        photo
        for photo in photos
        if photo.revision
        and photo.revision.chain_id == revision.chain_id
        and photo.revision.number <= revision.number
    ]
    last = {}
    for photo in ours:
        key = photo.subject, photo.unit_id, photo.channel
        last[key] = max(last.get(key, 0), photo.revision.number)
    units = {(stage.unit_id, stage.channel) for stage in revision.stages.all()}
    return [
        photo
        for photo in ours
        if photo.revision.number == last[photo.subject, photo.unit_id, photo.channel]
        and (photo.subject != Subject.UNIT or (photo.unit_id, photo.channel) in units)
    ]
