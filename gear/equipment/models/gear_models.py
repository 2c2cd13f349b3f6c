from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse

from gear.audio.levels import THERMAL_NOISE_150_OHM_DBU
from gear.editing.versions import Versioned
from gear.equipment.models.choices import Category, Phantom, SignalLevel, Transducer

MOST_CHANNELS = 128


class GearModelQuerySet(models.QuerySet):
    def for_list(self):
        """Models with the number of units in the house as `unit_count`."""
        return self.annotate(unit_count=models.Count("units")).order_by("maker", "name")


class GearModel(Versioned):
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
        "has its own supply", default=False, help_text="As valve microphones do."
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
    channels = models.PositiveSmallIntegerField(
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(MOST_CHANNELS)],
        help_text="Inputs side by side, each with the controls of the panel.",
    )
    phantom_bank = models.PositiveSmallIntegerField(
        "inputs per phantom switch",
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(MOST_CHANNELS)],
        help_text="1 where each has its own; 4 where one switch serves inputs 1 to 4, 5 to 8 …",
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
        if (self.phantom_bank or 1) > (self.channels or 1):
            problems["phantom_bank"] = (
                "One switch cannot serve more inputs than there are channels."
            )
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

    @property
    def phantom_need(self) -> str:
        """What 48 V is to it: a passive ribbon is kept off it whatever its entry says."""
        return Phantom.HARMFUL if self.transducer == Transducer.RIBBON else self.phantom

    def phantom_banks(self, channel: int | None) -> set[int]:
        """The phantom switches, from 0, that may serve the channel: of an unknown one, all."""
        if channel:
            return {(channel - 1) // self.phantom_bank}
        return set(range(-(-self.channels // self.phantom_bank)))

    def notices(self) -> list[str]:
        """What looks forgotten in the facts."""
        notices = []
        if self.is_valve_microphone and not self.own_supply:
            notices.append("A valve microphone has its own supply, and this one is not marked so.")
        if self.category == Category.MICROPHONE and not self.transducer:
            notices.append(
                "Say what kind of microphone it is, so that phantom power can be checked."
            )
        noise = self.equivalent_input_noise_dbu
        if noise is not None and noise < THERMAL_NOISE_150_OHM_DBU:
            notices.append(
                f"An equivalent input noise of {noise:g} dBu is less than a 150 ohm source makes "
                f"by thermal noise alone ({THERMAL_NOISE_150_OHM_DBU:.1f} dBu, 20 Hz to 20 kHz): check "
                "whether the data sheet weights the figure or shorts the input."
            )
        return notices

    def current_panel(self):
        """The newest version of the control layout, or None. Costs a query."""
        return self.panels.order_by("-version").first()
