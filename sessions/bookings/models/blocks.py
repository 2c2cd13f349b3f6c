"""Time that is kept from being booked."""

from django.db import models
from django.urls import reverse

from gear.editing.versions import Versioned
from sessions.periods import days_in_words


class BlockKind(models.TextChoices):
    MAINTENANCE = "maintenance", "Maintenance"
    HOLIDAY = "holiday", "Holiday"
    LEAVE = "leave", "Leave"
    HOUSE = "house", "House use"


class BlockQuerySet(models.QuerySet):
    def visible_to(self, user):
        """All of them for the house: why it is closed and who is away is nobody else's business."""
        whole_house = user.has_perm("studio_sessions.view_all_projects")
        return self if whole_house else self.none()

    def to_come(self, now):
        """Those that are not over yet and not removed."""
        return self.filter(ends_at__gt=now, removed=False)

    def for_list(self):
        reservations = self.model._meta.get_field("reservations").related_model.objects
        return self.prefetch_related(models.Prefetch("reservations", reservations.for_list()))


class Block(Versioned):
    """Time in which rooms, people or units are not to be had. It reserves them like a session."""

    kind = models.CharField(max_length=12, choices=BlockKind)
    title = models.CharField(max_length=120)
    starts_at = models.DateTimeField("starts")
    ends_at = models.DateTimeField("ends")
    note = models.TextField(blank=True)
    ill = models.BooleanField(
        default=False,
        help_text="Only managers are shown this. Everybody else, and every letter, calendar and "
        "paper, says leave.",
    )
    removed = models.BooleanField(default=False)

    objects = BlockQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(starts_at__lt=models.F("ends_at")),
                name="block_ends_after_it_starts",
            ),
            models.CheckConstraint(
                condition=models.Q(ill=False) | models.Q(kind=BlockKind.LEAVE),
                name="block_ill_is_leave",
            ),
        ]
        ordering = ["starts_at", "pk"]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        """A block has no page of its own: the list of blocks."""
        return reverse("blocks:list")

    @property
    def period_in_words(self) -> str:
        return days_in_words(self.starts_at, self.ends_at)
