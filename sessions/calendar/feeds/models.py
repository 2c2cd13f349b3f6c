from datetime import datetime, timedelta
from hashlib import sha256
from secrets import token_urlsafe

from django.conf import settings
from django.db import models
from django.db.models import Q

from sessions.clients.models import Person
from sessions.rooms.models import Room

TOKEN_BYTES = 32  # as many as the hash keeps: guessing one is out of reach
READ_STEP = timedelta(hours=1)


def fingerprint(token: str) -> str:
    """What is stored in place of the token: SHA-256, in hexadecimal."""
    return sha256(token.encode()).hexdigest()


class FeedAddressQuerySet(models.QuerySet):
    def visible_to(self, user):
        """All of them, or those of the person that the user is."""
        if user.has_perm("studio_sessions.make_any_feed"):
            return self
        return self.filter(person__user=user)

    def standing(self):
        """Those that answer: not revoked, and not of a person who has left."""
        return self.filter(revoked_at=None).exclude(
            Q(person__retired=True) | Q(person__user__is_active=False)
        )

    def of_token(self, token: str):
        """The one that stands at this secret address, if any."""
        return self.standing().filter(token=fingerprint(token))

    def for_list(self):
        return self.select_related("room", "person", "made_by").order_by(
            models.F("revoked_at").desc(nulls_first=True), "-made_at"
        )


class FeedAddress(models.Model):
    """A secret, revocable address at which a calendar program reads a room's or person's sessions.

    Only a fingerprint of the secret is kept: the address is shown once, when it is made, and can be
    read out of neither the database nor a backup. Who has lost it makes another.
    """

    token = models.CharField(max_length=64, unique=True)
    room = models.ForeignKey(Room, models.PROTECT, null=True, blank=True, related_name="feeds")
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="feeds")
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    last_read_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects = FeedAddressQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "feed addresses"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(room__isnull=False, person__isnull=True)
                | models.Q(room__isnull=True, person__isnull=False),
                name="feed_of_room_or_person",
            ),
        ]
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        """Reads the room or person; if not loaded, this causes a SQL query."""
        return f"Feed of {self.resource}"

    @classmethod
    def make(cls, *, by, room=None, person=None) -> tuple["FeedAddress", str]:
        """A new address of a room or a person, and its secret, which nobody can read again."""
        token = token_urlsafe(TOKEN_BYTES)
        made = cls.objects.create(token=fingerprint(token), room=room, person=person, made_by=by)
        return made, token

    @property
    def resource(self):
        return self.room or self.person

    def revoke(self, now: datetime) -> None:
        """From now on the address is not there. One that is revoked already keeps its time."""
        FeedAddress.objects.filter(pk=self.pk, revoked_at=None).update(revoked_at=now)

    def note_reading(self, now: datetime) -> None:
        """Note that it is in use, at most once an hour: programs ask every few minutes."""
        if self.last_read_at is None or self.last_read_at < now - READ_STEP:
            FeedAddress.objects.filter(pk=self.pk).update(last_read_at=now)
