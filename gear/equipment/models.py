from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords


class Category(models.TextChoices):
    MICROPHONE = "microphone", "Microphone"
    SUPPLY = "supply", "Microphone supply"
    DI_BOX = "di_box", "DI box"
    PREAMPLIFIER = "preamplifier", "Preamplifier"
    EQUALISER = "equaliser", "Equaliser"
    COMPRESSOR = "compressor", "Compressor"
    CHANNEL = "channel", "Console channel"
    CONVERTER = "converter", "Converter"
    HEADPHONES = "headphones", "Headphone amplifier"
    EFFECT = "effect", "Effect"
    OTHER = "other", "Other"


class Transducer(models.TextChoices):
    CONDENSER = "condenser", "Condenser"
    VALVE = "valve", "Valve condenser"
    DYNAMIC = "dynamic", "Moving coil"
    RIBBON = "ribbon", "Ribbon"
    ACTIVE_RIBBON = "active_ribbon", "Active ribbon"


class Phantom(models.TextChoices):
    NEEDED = "needed", "Needs phantom power"
    HARMLESS = "harmless", "Indifferent to phantom power"
    HARMFUL = "harmful", "Keep phantom power off"


class SignalLevel(models.TextChoices):
    MICROPHONE = "microphone", "Microphone"
    LINE = "line", "Line"
    INSTRUMENT = "instrument", "Instrument"
    SPEAKER = "speaker", "Speaker"
    DIGITAL = "digital", "Digital"


class GearModelQuerySet(models.QuerySet):
    def for_list(self):
        """Models with the number of units in the house as `unit_count`."""
        return self.annotate(unit_count=models.Count("units")).order_by("maker", "name")


class GearModel(models.Model):
    """A make of equipment with its electrical facts, as its maker's data sheet states them."""

    maker = models.CharField(max_length=80)
    name = models.CharField(max_length=80)
    category = models.CharField(max_length=20, choices=Category)
    transducer = models.CharField(
        max_length=20, choices=Transducer, blank=True, help_text="Microphones only."
    )
    phantom = models.CharField(
        "phantom power", max_length=10, choices=Phantom, default=Phantom.HARMLESS
    )
    own_supply = models.BooleanField(
        "works from a supply of its own", default=False, help_text="As valve microphones do."
    )
    warm_up_minutes = models.PositiveSmallIntegerField("warm-up, minutes", default=0)
    sensitivity_mv_pa = models.DecimalField(
        "sensitivity, mV/Pa",
        max_digits=7,
        decimal_places=3,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    self_noise_dba = models.DecimalField(
        "self-noise, dB(A)", max_digits=5, decimal_places=1, null=True, blank=True
    )
    max_spl_db = models.DecimalField(
        "maximum SPL, dB", max_digits=5, decimal_places=1, null=True, blank=True
    )
    output_impedance_ohm = models.PositiveIntegerField(
        "output impedance, ohm", null=True, blank=True
    )
    input_level = models.CharField(max_length=12, choices=SignalLevel, blank=True)
    output_level = models.CharField(max_length=12, choices=SignalLevel, blank=True)
    max_input_dbu = models.DecimalField(
        "maximum input, dBu", max_digits=5, decimal_places=1, null=True, blank=True
    )
    max_output_dbu = models.DecimalField(
        "maximum output, dBu", max_digits=5, decimal_places=1, null=True, blank=True
    )
    nominal_level_dbu = models.DecimalField(
        "nominal level, dBu", max_digits=5, decimal_places=1, null=True, blank=True
    )
    note = models.TextField(blank=True)
    history = HistoricalRecords()

    objects = GearModelQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("maker", "name", name="gear_model_once"),
        ]
        ordering = ["maker", "name"]

    def __str__(self) -> str:
        return f"{self.maker} {self.name}"

    def get_absolute_url(self) -> str:
        return reverse("equipment:model_detail", args=[self.pk])

    @property
    def is_valve_microphone(self) -> bool:
        return self.category == Category.MICROPHONE and self.transducer == Transducer.VALVE

    def current_panel(self):
        """The newest version of the control layout, or None. Costs a query."""
        return self.panels.order_by("-version").first()


class UnitState(models.TextChoices):
    IN_SERVICE = "in_service", "In service"
    AT_THE_BENCH = "at_the_bench", "At the bench"
    RETIRED = "retired", "Retired"


class UnitQuerySet(models.QuerySet):
    def in_service(self):
        return self.filter(state=UnitState.IN_SERVICE)

    def for_list(self):
        return self.select_related("model", "supply__model").order_by(
            "model__category", "model__maker", "model__name", "asset_tag"
        )


class Unit(models.Model):
    """One physical item, known by the tag stuck on it."""

    model = models.ForeignKey(GearModel, models.PROTECT, related_name="units")
    asset_tag = models.CharField(max_length=20, unique=True)
    serial_number = models.CharField(max_length=40, blank=True)
    home_room = models.CharField(max_length=60, blank=True)
    rack = models.CharField(max_length=40, blank=True)
    slot = models.CharField(max_length=20, blank=True)
    state = models.CharField(max_length=15, choices=UnitState, default=UnitState.IN_SERVICE)
    supply = models.ForeignKey(
        "self",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="supplies",
        help_text="The microphone supply that belongs with it.",
    )
    note = models.TextField(blank=True)
    history = HistoricalRecords()

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

    def get_absolute_url(self) -> str:
        return reverse("equipment:unit_detail", args=[self.pk])

    @property
    def home(self) -> str:
        return " · ".join(part for part in (self.home_room, self.rack, self.slot) if part)


class FaultState(models.TextChoices):
    OPEN = "open", "Open"
    WORKED_ON = "worked_on", "Being worked on"
    CLOSED = "closed", "Closed"


class FaultQuerySet(models.QuerySet):
    def open(self):
        return self.exclude(state=FaultState.CLOSED)


class Fault(models.Model):
    """Something wrong with a unit: reported, worked on, closed. Never deleted."""

    unit = models.ForeignKey(Unit, models.PROTECT, related_name="faults")
    description = models.TextField()
    state = models.CharField(max_length=10, choices=FaultState, default=FaultState.OPEN)
    reported_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    reported_at = models.DateTimeField(auto_now_add=True)
    remedy = models.TextField(blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    history = HistoricalRecords()

    objects = FaultQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(state=FaultState.CLOSED, closed_at__isnull=False)
                | (~models.Q(state=FaultState.CLOSED) & models.Q(closed_at__isnull=True)),
                name="fault_closed_has_a_time",
            ),
        ]
        ordering = ["-reported_at"]

    def __str__(self) -> str:
        return self.description[:60]
