from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import Self

from django.db import models, transaction
from django.utils import timezone

#: The key of no row: what points to it is refused once the transaction ends.
NO_ROW = 0


class ErasureQuerySet(models.QuerySet):
    def for_person(self, key: int):
        return self.filter(person_key=key)

    def rows(self) -> dict[tuple[str, str], datetime]:
        """When each row was changed last, by its table and its key as text."""
        return {
            (table, str(key)): erasure.at
            for erasure in self.order_by("at", "pk")
            for table, keys in erasure.changed.items()
            for key in keys
        }


class Erasure(models.Model):
    """That names and addresses of somebody were replaced wherever they stood, in histories, too.

    While it is open, and only then, the database lets history rows be changed
    (`sessions/constraints/histories.py`); since an open one points to no row, it can only be committed
    closed. After that it stays as it is. It names nobody: whom it was about is a key.
    """

    at = models.DateTimeField(default=timezone.now)
    ran_as = models.CharField(
        max_length=100, blank=True, help_text="The account of the machine that ran the command."
    )
    person_key = models.PositiveBigIntegerField(null=True, blank=True, db_index=True)
    user_key = models.PositiveBigIntegerField(null=True, blank=True)
    changed = models.JSONField(
        default=dict, blank=True, help_text="Keys of the rows that were changed, by their table."
    )
    still_open = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )

    objects = ErasureQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]

    def __str__(self) -> str:
        return f"Erasure {self.pk}"

    @classmethod
    @contextmanager
    def opened(cls, **facts) -> Iterator[Self]:
        """A new one, within which history may be changed, in one transaction."""
        with transaction.atomic():
            erasure = cls.objects.create(still_open_id=NO_ROW, **facts)
            yield erasure
            erasure.still_open_id = None
            erasure.save()
