from functools import cached_property

from django.conf import settings
from django.db import models
from django.urls import reverse

from sessions.clients.visible import OfAProject
from sessions.deliverables.models import Deliverable, DeliverableFile
from sessions.deliverables.nulling.words import Words


class NullTestState(models.TextChoices):
    WAITING = "waiting", "Waiting"
    RUNNING = "running", "Under way"
    DONE = "done", "Done"
    FAILED = "failed", "Failed"


class NullTestQuerySet(OfAProject):
    to_project = "stems__song__project"

    def under_way(self):
        return self.filter(state__in=[NullTestState.WAITING, NullTestState.RUNNING])

    def with_subjects(self):
        return self.select_related("stems__song__project", "mix__deliverable", "started_by")

    def done_for(self, songs) -> "list[NullTest]":
        """Those that came to an end, the newest last; one query."""
        done = self.filter(stems__song__in=songs, state=NullTestState.DONE)
        return list(done.select_related("stems", "mix__deliverable").order_by("pk"))


class NullTest(models.Model):
    """Stems summed at unity against a mix, and what was left. Results are kept, newest first.

    `figures` are those of `comparing.compare`; `names` the stems' in its order; `bits` the fewest of
    all files. What couldn't be done has a `refusal`.
    """

    stems = models.ForeignKey(Deliverable, models.PROTECT, related_name="null_tests")
    mix = models.ForeignKey(DeliverableFile, models.PROTECT, related_name="+")
    state = models.CharField(max_length=7, choices=NullTestState, default=NullTestState.WAITING)
    names = models.JSONField(default=list, blank=True)
    rate = models.PositiveIntegerField(null=True, blank=True)
    bits = models.PositiveSmallIntegerField(null=True, blank=True)
    figures = models.JSONField(null=True, blank=True)
    refusal = models.TextField(blank=True)
    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    started_at = models.DateTimeField(auto_now_add=True)
    ended_at = models.DateTimeField(null=True, blank=True)

    objects = NullTestQuerySet.as_manager()

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"Null test {self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("nulling:detail", args=[self.pk])

    @property
    def has_ended(self) -> bool:
        return self.state in (NullTestState.DONE, NullTestState.FAILED)

    @cached_property
    def words(self) -> Words | None:
        """None until it is done."""
        if self.figures is None:
            return None
        return Words(self.figures, self.names, self.rate, self.bits)
