from django.db import models
from django.urls import reverse

from gear.editing.versions import Versioned
from gear.equipment.models import Unit
from sessions.clients.models import RetirableQuerySet


class GearSetQuerySet(RetirableQuerySet):
    def for_list(self):
        """With their units and the models of those."""
        units = Unit.objects.for_list()
        return self.prefetch_related(models.Prefetch("units", units))


class GearSet(Versioned):
    """Units that are often booked together: ticked on the booking form in one press."""

    name = models.CharField(max_length=60, unique=True)
    units = models.ManyToManyField(Unit, related_name="gear_sets", verbose_name="gear")
    note = models.TextField(blank=True)
    retired = models.BooleanField(default=False)
    _history_m2m_fields = [units]

    objects = GearSetQuerySet.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("gear_sets:edit", args=[self.pk])
