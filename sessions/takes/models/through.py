from django.db import models

from sessions.setups.headphones.models import MixSnapshot
from sessions.setups.models import Revision


class TakeRevisionQuerySet(models.QuerySet):
    def for_list(self):
        """In the order in which they came into force, with the parts that their chains carry."""
        return self.select_related(
            "revision__chain__setup", "revision__chain__source"
        ).prefetch_related("revision__chain__parts")

    def behind(self, parts):
        """What these TakeParts were recorded through; a row may stand there several times."""
        theirs = parts.filter(take=models.OuterRef("take"))
        carried = theirs.filter(part__chains=models.OuterRef("revision__chain"))
        return self.filter(
            models.Exists(carried)
            | models.Q(models.Exists(theirs), revision__chain__parts__isnull=True)
        )


class TakeRevision(models.Model):
    """That a revision was in force while a take was recorded; this is what fixes the revision.

    A chain that is changed while the take rolls is there twice, in order.
    """

    take = models.ForeignKey("Take", models.PROTECT, related_name="through")
    revision = models.ForeignKey(Revision, models.PROTECT, related_name="through")
    heard = models.ForeignKey(MixSnapshot, models.PROTECT, help_text="What the performers heard.")
    since = models.DateTimeField(
        null=True,
        blank=True,
        help_text="When the chain was changed while the take rolled. Empty: from its beginning on.",
    )

    objects = TakeRevisionQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("take", "revision", name="revision_once_a_take"),
        ]
        ordering = ["take", "pk"]

    def __str__(self) -> str:
        return f"{self.take} through {self.revision}"


class RevisionInDoubt(models.Model):
    """That a take was pressed off line, and its chain changed in place before the press came: whether
    the take went through the revision as it stands is to be said by who was there."""

    take = models.ForeignKey("Take", models.PROTECT, related_name="in_doubt")
    revision = models.ForeignKey(Revision, models.PROTECT, related_name="+")
    heard = models.ForeignKey(MixSnapshot, models.PROTECT, related_name="+")

    class Meta:
        constraints = [models.UniqueConstraint("take", "revision", name="revision_in_doubt_once")]
        ordering = ["take", "pk"]

    def __str__(self) -> str:
        return f"{self.take} through {self.revision}?"
