"""Where the audio lives: media, the copies on them, who was handed what, and what came in."""

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils import timezone

from gear.editing.versions import Versioned
from sessions.bookings.models import RecordingSession
from sessions.clients.models import Client, Person, Project, RetirableQuerySet
from sessions.clients.visible import OfAProject
from sessions.deliverables.models import Deliverable
from sessions.songs.models import Song


class MediumKind(models.TextChoices):
    """What kinds of medium there are: copies on two of one kind share what ends them."""

    DISC = "disc", "Hard disc"
    SOLID_STATE = "solid_state", "Solid-state drive"
    SERVER = "server", "Server or network storage"
    REMOTE = "remote", "Storage elsewhere, over the network"
    TAPE = "tape", "Data tape"
    OPTICAL = "optical", "Optical disc"
    OTHER = "other", "Other"


class MediumQuerySet(RetirableQuerySet):
    def for_list(self):
        there = models.Q(copies__removed_at=None)
        return self.select_related("client", "person").annotate(
            copy_count=models.Count("copies", filter=there)
        )


class Medium(Versioned):
    """A drive, or a folder of a server; it is the house's unless a client or person owns it."""

    name = models.CharField(
        "label", max_length=60, unique=True, help_text="As it is written on it."
    )
    kind = models.CharField(max_length=11, choices=MediumKind, default=MediumKind.DISC)
    serial_number = models.CharField(max_length=60, blank=True)
    folder = models.CharField(
        max_length=200, blank=True, help_text="Where on it, if it is not all of it."
    )
    place = models.CharField(max_length=120, help_text="Machine room, shelf 2; the client’s safe …")
    is_off_site = models.BooleanField("kept outside the house", default=False)
    client = models.ForeignKey(
        Client,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="media",
        verbose_name="owning client",
    )
    person = models.ForeignKey(
        Person,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="media",
        verbose_name="owning person",
    )
    note = models.TextField(blank=True)
    retired = models.BooleanField(default=False)

    objects = MediumQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "media"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(client=None) | models.Q(person=None),
                name="medium_of_one_owner",
                violation_error_message="It has one owner: a client, or a person, or neither.",
            )
        ]
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("media:medium", args=[self.pk])

    @property
    def owner(self) -> str:
        return str(self.client or self.person or "the house")


class WorkstationFile(Versioned):
    """What opens the project's work, and what it takes to open it."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="workstation_files")
    song = models.ForeignKey(
        Song, models.PROTECT, null=True, blank=True, help_text="None: of all songs."
    )
    name = models.CharField("file", max_length=200, help_text="Its name, with the folder.")
    program = models.CharField(max_length=120, help_text="Program and version, in words.")
    plug_ins = models.TextField(
        "plug-ins", blank=True, help_text="With their versions; which are printed, which are not."
    )
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["project", "name", "pk"]

    def __str__(self) -> str:
        return self.name


class Held(models.TextChoices):
    SESSION_DATA = "session_data", "Session data: workstation file and audio"
    DELIVERABLES = "deliverables", "Deliverables"
    ALL = "all", "All of the project"


class CopyQuerySet(models.QuerySet):
    def there(self):
        return self.filter(removed_at=None)

    def verified(self):
        return self.there().filter(verified_at__isnull=False)

    def for_list(self):
        return self.select_related(
            "medium__client",
            "medium__person",
            "project__client",
            "session",
            "deliverable__song",
            "verified_by",
            "told_by",
            "removed_by",
        )


class MediaCopy(Versioned):
    """A copy of a project's data on a medium: verified, kept until a day, and removed only once the
    client was told."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="copies")
    medium = models.ForeignKey(Medium, models.PROTECT, related_name="copies")
    holds = models.CharField(max_length=12, choices=Held, default=Held.SESSION_DATA)
    session = models.ForeignKey(
        RecordingSession,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="copies",
        help_text="None: all that there was on the day that it was verified.",
    )
    deliverable = models.ForeignKey(
        Deliverable, models.PROTECT, null=True, blank=True, related_name="copies"
    )
    folder = models.CharField(max_length=200, blank=True, help_text="Where on the medium.")
    verified_at = models.DateTimeField("verified", null=True, blank=True, editable=False)
    verified_how = models.CharField(max_length=120, blank=True, editable=False)
    verified_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, editable=False, related_name="+"
    )
    kept_until = models.DateField("kept until", null=True, blank=True)
    told_at = models.DateTimeField("client told", null=True, blank=True, editable=False)
    told_how = models.CharField(max_length=120, blank=True, editable=False)
    told_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, editable=False, related_name="+"
    )
    removed_at = models.DateTimeField("removed", null=True, blank=True, editable=False)
    removed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, editable=False, related_name="+"
    )
    note = models.TextField(blank=True)

    objects = CopyQuerySet.as_manager()

    class Meta:
        verbose_name = "copy"
        verbose_name_plural = "copies"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(removed_at=None) | models.Q(told_at__isnull=False),
                name="copy_removed_once_client_was_told",
            )
        ]
        ordering = ["project", "removed_at", "medium", "pk"]

    def __str__(self) -> str:
        """Reads self.medium."""
        return f"{self.what} on {self.medium}"

    @property
    def what(self) -> str:
        """Reads self.deliverable, self.session."""
        if self.deliverable:
            return f"{self.deliverable.song}, {self.deliverable}"
        return self.get_holds_display() + (f", {self.session}" if self.session else "")

    def why_not_removed(self) -> str:
        """Why it may not be removed today; empty where it may."""
        if self.removed_at:
            return "It was removed already."
        if not self.told_at:
            return "The client was not told yet: tell them first."
        if self.kept_until and self.kept_until > timezone.localdate():
            return "It is promised for longer: it may go the day after."
        return ""


class IncomingMaterial(Versioned):
    """What somebody else recorded, and what is to be known before work on it begins."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="incoming_material")
    song = models.ForeignKey(Song, models.PROTECT, null=True, blank=True)
    what = models.CharField(max_length=200, help_text="Percussion, 12 files; guide vocal …")
    sender = models.CharField("from", max_length=120)
    received_on = models.DateField("received", default=timezone.localdate)
    medium = models.ForeignKey(
        Medium, models.PROTECT, null=True, blank=True, help_text="Where it lies now."
    )
    rate = models.CharField(
        "rate and depth", max_length=60, blank=True, help_text="48 kHz, 24 bit …"
    )
    tempo = models.CharField(max_length=120, blank=True, help_text="96; 96 and 104 from bar 33 …")
    start_point = models.CharField(
        max_length=120, blank=True, help_text="All from bar 1; time stamp 10:00:00; not aligned …"
    )
    missing = models.TextField(
        "missing", blank=True, help_text="What was asked for and is not there."
    )
    note = models.TextField(blank=True)

    class Meta:
        verbose_name = "incoming material"
        ordering = ["project", "-received_on", "-pk"]

    def __str__(self) -> str:
        return f"{self.what} from {self.sender}"


class HandoverQuerySet(OfAProject):
    to_project = "project"


class Handover(models.Model):
    """What left the house and who signed for it. It stands as it was signed."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="handovers")
    medium = models.ForeignKey(
        Medium, models.PROTECT, null=True, blank=True, related_name="handovers"
    )
    what = models.CharField(
        max_length=200, help_text="Drive with all sessions; two optical discs …"
    )
    signed_by = models.CharField(
        "received by",
        max_length=120,
        help_text="Typed by whoever receives it: it counts as signed.",
    )
    on_behalf_of = models.CharField(max_length=120, blank=True)
    signed_at = models.DateTimeField(auto_now_add=True)
    handed_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    note = models.TextField(blank=True)

    objects = HandoverQuerySet.as_manager()

    class Meta:
        ordering = ["project", "-signed_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.what}, {self.signed_by}"
