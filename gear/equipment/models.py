from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from simple_history.models import HistoricalRecords

from gear.audio.levels import THERMAL_NOISE_150_OHM_DBU


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
    equivalent_input_noise_dbu = models.DecimalField(
        "equivalent input noise, dBu",
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        help_text="Of a preamplifier, 20 Hz to 20 kHz.",
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
    delay_samples = models.PositiveSmallIntegerField(
        "delay, samples",
        null=True,
        blank=True,
        help_text="Of a converter, in and out together.",
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

    def clean(self):
        problems = {}
        if self.transducer and self.category != Category.MICROPHONE:
            problems["transducer"] = "Only a microphone has one: leave this empty."
        for name in ("sensitivity_mv_pa", "max_spl_db", "output_impedance_ohm"):
            value = getattr(self, name)
            if value is not None and value <= 0:
                problems[name] = (
                    "This is above zero on every data sheet; leave it empty if unknown."
                )
        if self._nominal_is_above(self.max_output_dbu):
            problems["max_output_dbu"] = "The maximum output lies below the nominal level."
        if self._nominal_is_above(self.max_input_dbu):
            problems["max_input_dbu"] = "The maximum input lies below the nominal level."
        if problems:
            raise ValidationError(problems)

    def _nominal_is_above(self, limit) -> bool:
        return None not in (limit, self.nominal_level_dbu) and limit < self.nominal_level_dbu

    @property
    def is_valve_microphone(self) -> bool:
        return self.category == Category.MICROPHONE and self.transducer == Transducer.VALVE

    @property
    def needs_supply(self) -> bool:
        """Whether a unit of it is silent without a supply of its own beside it."""
        return self.own_supply or self.is_valve_microphone

    def notices(self) -> list[str]:
        """What looks forgotten in the facts."""
        notices = []
        if self.is_valve_microphone and not self.own_supply:
            notices.append(
                "A valve microphone works from a supply of its own, and this one is not marked so."
            )
        if self.category == Category.MICROPHONE and not self.transducer:
            notices.append(
                "Say what kind of microphone it is, so that phantom power can be checked."
            )
        noise = self.equivalent_input_noise_dbu
        if noise is not None and noise < THERMAL_NOISE_150_OHM_DBU:
            notices.append(
                f"An equivalent input noise of {noise:g} dBu is less than a 150 ohm source makes "
                f"by its warmth alone ({THERMAL_NOISE_150_OHM_DBU:.1f} dBu, 20 Hz to 20 kHz): see "
                "whether the data sheet weights the figure or shorts the input."
            )
        return notices

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

    def home_rooms(self):
        """The rooms that units are at home in, each once, in order."""
        rooms = self.exclude(home_room="").order_by("home_room")
        return rooms.values_list("home_room", flat=True).distinct()


class Unit(models.Model):
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
    def standing(self) -> str:
        """Where it is today, and since when: at the bench since 3 Nov 2026."""
        said = self.get_state_display().lower()
        if self.is_in_service or not self.state_since:
            return said
        return f"{said} since {date_format(timezone.localtime(self.state_since), 'j M Y')}"

    def why_not(self) -> str:
        """Why it can be neither booked nor patched; empty while it is in service."""
        return "" if self.is_in_service else f"{self} is {self.standing}: choose another unit."

    def notices(self) -> list[str]:
        """What to know before it is used. Reads self.model and self.supply.model."""
        notices = []
        if not self.is_in_service:
            notices.append(f"{self.asset_tag} is {self.standing}: it is not for use.")
        if self.supply is None and self.model.needs_supply:
            notices.append(
                "It works from a supply of its own, and none is named: edit the unit and name it."
            )
        if self.supply and not self.supply.is_in_service:
            notices.append(f"Its supply {self.supply} is {self.supply.standing}.")
        return notices


class FaultState(models.TextChoices):
    OPEN = "open", "Open"
    WORKED_ON = "worked_on", "Being worked on"
    CLOSED = "closed", "Closed"


class FaultQuerySet(models.QuerySet):
    def open(self):
        return self.exclude(state=FaultState.CLOSED)

    def for_list(self):
        return self.select_related("unit__model", "reported_by")


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
        ordering = ["-reported_at", "-pk"]

    def __str__(self) -> str:
        return self.description[:60]
