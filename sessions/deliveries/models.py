"""What was sent to whom, by a link of each recipient's own, and what they did with it."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from gear.editing.history import History
from sessions.clients.models import Person, Project
from sessions.clients.visible import OfAProject
from sessions.deliverables.models import Deliverable, DeliverableFile
from sessions.links.models import SecretLink, SecretLinkQuerySet
from sessions.songs.models import Song


class ApprovedRecipient(models.Model):
    """Somebody to whom the project's deliverables may be sent: one of our people, or whoever has
    that name and e-mail. Managers keep the list."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="approved_recipients")
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    name = models.CharField(max_length=120, blank=True)
    email = models.EmailField("e-mail", blank=True)
    history = History()

    class Meta:
        constraints = [
            models.UniqueConstraint("project", "person", name="recipient_approved_once"),
            models.CheckConstraint(
                condition=Q(person=None) ^ Q(name="", email=""), name="person_or_name_and_email"
            ),
        ]
        ordering = ["pk"]

    def __str__(self) -> str:
        """Reads the person; if not loaded, this causes a SQL query."""
        return f"{self.person or self.name}"

    @property
    def address(self) -> str:
        return self.person.email if self.person else self.email


class Paper(models.TextChoices):
    """What can go with a song's files."""

    RECALL_SHEET = "recall", "Recall sheet"
    MIX_SHEET = "mix", "Recall sheet of the mix"
    SESSION_REPORTS = "report", "Session reports"
    TAKE_SHEET = "takes", "Take sheet"
    COMP_SHEETS = "comp", "Comp sheets"


class DeliveryQuerySet(OfAProject):
    to_project = "song__project"

    def for_list(self):
        return self.select_related(
            "song__project", "sent_by", "withdrawn_by", "released_by"
        ).prefetch_related("deliverables", "recipients__events")

    def waiting(self):
        """For payment: nobody has a link of them yet."""
        return self.filter(held_back=True, released_at=None, withdrawn_at=None)


class Delivery(models.Model):
    """Deliverables of a song, as they were sent. Their files are those that were there by then.

    One that was `held_back` has neither links nor letters before it is released.

    `expires_at` is the latest time at which one of its links still opens.
    """

    song = models.ForeignKey(Song, models.PROTECT, related_name="deliveries")
    deliverables = models.ManyToManyField(
        Deliverable, through="DeliveredItem", related_name="deliveries"
    )
    papers = models.JSONField(default=list, blank=True)
    message = models.TextField(blank=True)
    expires_at = models.DateTimeField()
    password = models.CharField(max_length=128, blank=True)  # a hash, as of a user's
    sent_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    sent_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    withdrawn_why = models.TextField("why it was withdrawn", blank=True)
    held_back = models.BooleanField("waits for payment", default=False)
    released_at = models.DateTimeField(null=True, blank=True)
    released_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    released_why = models.CharField("why it was allowed", max_length=200, blank=True)
    history = History(excluded_fields=["password"])

    objects = DeliveryQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "deliveries"
        ordering = ["-sent_at", "-pk"]

    def __str__(self) -> str:
        """Reads song and deliverables; what is not loaded causes SQL queries."""
        return f"{', '.join(map(str, self.deliverables.all()))} of “{self.song}”"

    def get_absolute_url(self) -> str:
        return reverse("deliveries:detail", args=[self.pk])

    @property
    def state(self) -> str:
        if self.withdrawn_at:
            return "withdrawn"
        if self.waits:
            return "waiting"
        return "expired" if self.expires_at <= timezone.now() else "open"

    @property
    def waits(self) -> bool:
        """For payment, or for a manager who allows it."""
        return self.held_back and self.released_at is None

    @property
    def papers_in_words(self) -> list[str]:
        return [Paper(each).label for each in self.papers]

    def files(self):
        """Those that were sent, of all its deliverables in their order; none that was on its way to
        the record at that very moment, which nobody had measured."""
        sent = DeliverableFile.objects.ready().filter(
            deliverable__deliveries=self, uploaded_at__lte=self.sent_at
        )
        order = ("deliverable__kind", "deliverable__version", "original_name", "pk")
        return sent.select_related("deliverable").order_by(*order)


class DeliveredItem(models.Model):
    """A deliverable that went with a delivery."""

    delivery = models.ForeignKey(Delivery, models.PROTECT, related_name="items")
    deliverable = models.ForeignKey(Deliverable, models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint("delivery", "deliverable", name="delivered_once"),
        ]

    def __str__(self) -> str:
        return f"{self.deliverable}"


class EventKind(models.TextChoices):
    OPENED = "opened", "Opened"
    LISTENED = "listened", "Listened"
    DOWNLOADED = "downloaded", "Downloaded"
    NOTED = "noted", "Note"
    APPROVED = "approved", "Approved"
    CHANGES_WANTED = "changes", "Changes wanted"
    RECEIVED = "received", "Received"


OPINIONS = (EventKind.NOTED, EventKind.APPROVED, EventKind.CHANGES_WANTED)
ANSWERS = (*OPINIONS, EventKind.RECEIVED)  # what the sender is told of


class DeliveryRecipient(models.Model):
    """Name and e-mail as they were when it was sent."""

    delivery = models.ForeignKey(Delivery, models.PROTECT, related_name="recipients")
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    name = models.CharField(max_length=120)
    email = models.EmailField("e-mail")

    class Meta:
        constraints = [
            models.UniqueConstraint("delivery", "email", name="delivery_recipient_once"),
        ]
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def events_of(self, kind: EventKind) -> list["DeliveryEvent"]:
        """Of that kind, the first one first. Filters the events that are loaded."""
        return [event for event in self.events.all() if event.kind == kind]

    @property
    def opened(self) -> list["DeliveryEvent"]:
        return self.events_of(EventKind.OPENED)

    @property
    def downloaded(self) -> list["DeliveryEvent"]:
        return self.events_of(EventKind.DOWNLOADED)

    @property
    def received(self) -> "DeliveryEvent | None":
        return next(iter(self.events_of(EventKind.RECEIVED)), None)


class DeliveryLinkQuerySet(SecretLinkQuerySet):
    def standing(self, now):
        """None of a delivery that was withdrawn."""
        return super().standing(now).filter(recipient__delivery__withdrawn_at=None)


class DeliveryLink(SecretLink):
    """The address by which one recipient opens the delivery. A newer one revokes it."""

    recipient = models.ForeignKey(DeliveryRecipient, models.PROTECT, related_name="links")

    objects = DeliveryLinkQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"Link of {self.recipient}"

    def note_use(self, now) -> None:
        """Programs that scan mail fetch addresses, too: what a person did is a DeliveryEvent."""


class DeliveryEvent(models.Model):
    """Something that a recipient did with a delivery. Without a file it was the whole pack."""

    recipient = models.ForeignKey(DeliveryRecipient, models.PROTECT, related_name="events")
    kind = models.CharField(max_length=10, choices=EventKind)
    file = models.ForeignKey(
        DeliverableFile, models.PROTECT, null=True, blank=True, related_name="+"
    )
    said_by = models.CharField(max_length=120, blank=True)
    text = models.TextField(blank=True)
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                "recipient", condition=Q(kind="received"), name="received_once"
            ),
        ]
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} by {self.said_by or self.recipient}"
