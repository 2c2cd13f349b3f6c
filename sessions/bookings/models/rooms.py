from django.db import models
from simple_history.models import HistoricalRecords

from sessions.clients.models import RetirableQuerySet


class Room(models.Model):
    name = models.CharField(max_length=60, unique=True)
    note = models.TextField(blank=True)
    retired = models.BooleanField(default=False)
    history = HistoricalRecords()

    objects = RetirableQuerySet.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name
