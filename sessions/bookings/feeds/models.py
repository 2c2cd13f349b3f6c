from django.conf import settings
from django.db import models


class FeedAddress(models.Model):
    """A secret, revocable address at which a calendar program reads a room's or person's sessions."""

    token = models.CharField(max_length=64, unique=True)
    room = models.ForeignKey(
        "studio_sessions.Room", models.PROTECT, null=True, blank=True, related_name="feeds"
    )
    person = models.ForeignKey(
        "studio_sessions.Person", models.PROTECT, null=True, blank=True, related_name="feeds"
    )
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    last_read_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name_plural = "feed addresses"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(room__isnull=False, person__isnull=True)
                | models.Q(room__isnull=True, person__isnull=False),
                name="feed_of_room_or_person",
            ),
        ]
        ordering = ["-made_at"]

    def __str__(self) -> str:
        return f"Feed of {self.room or self.person}"
