from django.core.exceptions import ValidationError
from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format

from gear.editing.versions import Versioned
from gear.equipment.models.choices import Category, FaultState, UnitState
from gear.equipment.models.gear_models import GearModel


def check_channel(unit: "Unit", channel: int) -> None:
    """Raises ValidationError, beside a field `channel`, where the unit has no such channel."""
    if not 1 <= channel <= unit.model.channels:
        has = f"channels 1 to {unit.model.channels}" if unit.model.channels > 1 else "one channel"
        raise ValidationError({"channel": f"{unit} has {has}."})


class UnitQuerySet(models.QuerySet):
    def in_service(self):
        return self.filter(state=UnitState.IN_SERVICE)

    def supplies(self):
        """Microphone supplies that are not retired."""
        return self.filter(model__category=Category.SUPPLY).exclude(state=UnitState.RETIRED)

    def with_open_faults(self):
        """Units with the number of their faults that are not closed as `open_fault_count`."""
        not_closed = ~models.Q(faults__state=FaultState.CLOSED)
        return self.annotate(open_fault_count=models.Count("faults", filter=not_closed))

    def for_list(self):
        return self.select_related("model", "supply__model").order_by(
            "model__category", "model__maker", "model__name", "asset_tag"
        )

    def for_choices(self):
        """As lists have them, without what only lists show."""
        return self.for_list().select_related(None).select_related("model")

    def home_rooms(self):
        """The rooms that units are at home in, each once, in order."""
        rooms = self.exclude(home_room="").order_by("home_room")
        return rooms.values_list("home_room", flat=True).distinct()


class Unit(Versioned):
    """One physical item, known by the tag stuck on it."""

    model = models.ForeignKey(GearModel, models.PROTECT, related_name="units")
    asset_tag = models.CharField(max_length=20, unique=True)
    serial_number = models.CharField(max_length=40, blank=True)
    home_room = models.CharField(max_length=60, blank=True)
    rack = models.CharField(max_length=40, blank=True)
    slot = models.CharField(max_length=20, blank=True)
    state = models.CharField(max_length=15, choices=UnitState, default=UnitState.IN_SERVICE)
    state_since = models.DateTimeField(null=True, blank=True, editable=False)
    supply = models.ForeignKey(
        "self",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="supplies",
        help_text="The microphone supply that belongs with it.",
    )
    note = models.TextField(blank=True)

    objects = UnitQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(supply=models.F("id")), name="unit_not_its_own_supply"
            ),
        ]
        ordering = ["asset_tag"]

    def __str__(self) -> str:
        """Reads self.model; if not loaded, this causes a SQL query."""
        return f"{self.model} ({self.asset_tag})"

    def save(self, *args, update_fields=None, **kwargs):
        """Notes when it came into the state it is in. Costs a query more."""
        if not Unit.objects.filter(pk=self.pk, state=self.state).exists():
            self.state_since = timezone.now()
            update_fields = update_fields and {*update_fields, "state_since"}
        super().save(*args, update_fields=update_fields, **kwargs)

    def get_absolute_url(self) -> str:
        return reverse("equipment:unit_detail", args=[self.pk])

    def clean(self):
        if self.supply is None:
            return
        if self.supply_id == self.pk:
            raise ValidationError({"supply": "A unit cannot be its own supply."})
        if self.supply.model.category != Category.SUPPLY:
            raise ValidationError(
                {"supply": f"{self.supply} is not a microphone supply: choose one that is."}
            )

    @property
    def home(self) -> str:
        return " · ".join(part for part in (self.home_room, self.rack, self.slot) if part)

    @property
    def is_in_service(self) -> bool:
        return self.state == UnitState.IN_SERVICE

    @property
    def can_be_used(self) -> bool:
        """In service, and so is the supply that belongs with it. Reads self.supply."""
        return self.is_in_service and (self.supply is None or self.supply.is_in_service)

    @property
    def standing(self) -> str:
        """Where it is today, and since when: on the bench since Tue 3 Nov 2026."""
        said = self.get_state_display().lower()
        if self.is_in_service or not self.state_since:
            return said
        return f"{said} since {date_format(timezone.localtime(self.state_since))}"

    def why_not(self) -> str:
        """Why it can be neither booked nor patched; empty while it is in service."""
        return "" if self.is_in_service else f"{self} is {self.standing}: choose another unit."

    def notices(self) -> list[str]:
        """What to know before it is used. Reads self.model and self.supply.model."""
        notices = []
        if not self.is_in_service:
            notices.append(f"{self.asset_tag} is {self.standing}: do not use it.")
        if self.supply is None and self.model.needs_supply:
            notices.append(
                "It needs its own supply, and none is given: edit the unit and choose one."
            )
        if self.supply and not self.supply.is_in_service:
            notices.append(f"Its supply {self.supply} is {self.supply.standing}.")
        return notices
