from datetime import datetime, timedelta

from django.conf import settings
from django.db import models
from django.db.models import OuterRef, Q, Subquery

from gear.editing.history import update_with_history
from sessions.links.models import SecretLink, SecretLinkQuerySet


class Purpose(models.TextChoices):
    INVITATION = "invitation", "Invitation"
    RESET = "reset", "New password"


# How long each opens; common practice, no source.
OPENS_FOR = {Purpose.INVITATION: timedelta(days=7), Purpose.RESET: timedelta(hours=2)}


class PasswordLinkQuerySet(SecretLinkQuerySet):
    def standing(self, now: datetime):
        """Not for a new password of somebody who may no longer sign in."""
        closed = Q(purpose=Purpose.RESET, user__is_active=False)
        return super().standing(now).exclude(closed).select_related("user")

    def revoke(self, now: datetime) -> int:
        """End those of them that still open; how many there were."""
        return update_with_history(self.filter(revoked_at=None), revoked_at=now)


def invited_until(now: datetime) -> Subquery:
    """For users: until when the invitation opens that they have not followed yet."""
    links = PasswordLink.objects.standing(now).filter(
        purpose=Purpose.INVITATION, user=OuterRef("pk")
    )
    return Subquery(links.order_by("-made_at").values("expires_at")[:1])


class PasswordLink(SecretLink):
    """Opens the page on which its user chooses a password: once, and until it expires."""

    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.CASCADE, related_name="password_links"
    )
    purpose = models.CharField(max_length=10, choices=Purpose)
    used_at = models.DateTimeField(null=True, blank=True)

    objects = PasswordLinkQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"{self.get_purpose_display()} for {self.user}"
