from datetime import timedelta

from django.db import models
from django.utils import timezone
from django.utils.module_loading import import_string

from sessions.papers.stored.kinds import PaperKind

GIVEN_UP_AFTER = timedelta(minutes=10)  # whoever was to make a paper and did not is gone


class StoredPaperQuerySet(models.QuerySet):
    def unwanted(self):
        """Which nobody is going to look at soon."""
        now = timezone.now()
        overdue = models.Q(wanted_at__lt=now - GIVEN_UP_AFTER)
        set_back = models.Q(wanted_at__gt=now + GIVEN_UP_AFTER)  # the clock was, since
        return self.filter(models.Q(wanted_at=None) | overdue | set_back)


class StoredPaper(models.Model):
    """A paper as it was made, and the hash of all that it says.

    What it is about follows from its kind; whoever may see that may see the paper.
    """

    kind = models.CharField(max_length=100, help_text="Where its PaperKind stands in the code.")
    subject = models.PositiveBigIntegerField(help_text="The key of what it is about.")
    size = models.CharField(max_length=6)
    address = models.CharField(
        max_length=500,
        help_text="Of the page that it belongs to; empty where whoever has it can’t open that.",
    )
    key = models.CharField(max_length=64, blank=True, help_text="The hash of what was made last.")
    file = models.FileField(upload_to="papers", blank=True)
    made_at = models.DateTimeField(
        null=True, blank=True, help_text="Before what it says was read: it is as of then."
    )
    error = models.TextField(blank=True, help_text="Why it could not be made.")
    wanted_at = models.DateTimeField(
        null=True, blank=True, help_text="When it was last queued to be made."
    )

    objects = StoredPaperQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("subject", "kind", "size", "address", name="paper_stored_once"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.subject}, {self.size}"

    @property
    def paper_kind(self) -> PaperKind:
        return import_string(self.kind)
