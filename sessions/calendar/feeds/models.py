from datetime import datetime

from django.db import models
from django.db.models import F, Q

from sessions.clients.models import Person
from sessions.editing.rules import one_of
from sessions.links.models import SecretLink, SecretLinkQuerySet
from sessions.rooms.models import Room


class FeedAddressQuerySet(SecretLinkQuerySet):
    def visible_to(self, user):
        """All of them, or those of the person that the user is."""
        if user.has_perm("studio_sessions.make_any_feed"):
            return self
        return self.filter(person__user=user)

    def standing(self, now: datetime):
        """That of a person who has left does not open either."""
        left = Q(person__retired=True) | Q(person__user__is_active=False)
        return super().standing(now).exclude(left)

    def for_list(self):
        return self.select_related("room", "person", "made_by").order_by(
            F("revoked_at").desc(nulls_first=True), "-made_at"
        )


class FeedAddress(SecretLink):
    """Where a calendar program reads the sessions of a room, of a person or of the whole house."""

    room = models.ForeignKey(Room, models.PROTECT, null=True, blank=True, related_name="feeds")
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="feeds")
    whole_house = models.BooleanField(default=False)

    objects = FeedAddressQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "feed addresses"
        constraints = [
            models.CheckConstraint(
                condition=Q(one_of("room", "person"), whole_house=False)
                | Q(room=None, person=None, whole_house=True),
                name="feed_of_room_person_or_house",
            ),
        ]
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        """Reads the room or person; if not loaded, this causes a SQL query."""
        return f"Feed of {self.of}"

    @property
    def resource(self) -> Room | Person | None:
        """None: the whole house."""
        return self.room or self.person

    @property
    def of(self) -> str:
        return "the whole house" if self.whole_house else f"{self.resource}"
