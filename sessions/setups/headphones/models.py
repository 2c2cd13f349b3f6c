from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from gear.editing.history import History
from gear.editing.versions import Versioned
from gear.equipment.models import Unit
from sessions.clients.models import Person
from sessions.clients.visible import OfAProject
from sessions.setups.models import Chain, Setup


class HeadphoneMixQuerySet(OfAProject):
    to_project = "setup__session__project"

    def for_list(self):
        """Mixes with all that a page or sheet prints, in a constant number of queries."""
        return self.select_related("setup", "box__model").prefetch_related(
            "listeners",
            models.Prefetch("lines", HeadphoneLine.objects.select_related("chain__source")),
        )


class HeadphoneMix(Versioned):
    """What some of the performers of a setup hear, and through which box."""

    setup = models.ForeignKey(Setup, models.PROTECT, related_name="headphone_mixes")
    position = models.PositiveSmallIntegerField(default=1)
    name = models.CharField(max_length=60, help_text="Singer, all four, drummer …")
    listeners = models.ManyToManyField(
        Person, blank=True, related_name="headphone_mixes", verbose_name="who hears it"
    )
    box = models.ForeignKey(
        Unit, models.PROTECT, null=True, blank=True, related_name="headphone_mixes"
    )
    output = models.CharField(
        max_length=40, blank=True, help_text="As the box is labelled: 2, left pair …"
    )
    level_dba = models.DecimalField(
        "level at the ear, dB(A)",
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(30), MaxValueValidator(140)],
    )
    minutes_a_day = models.PositiveSmallIntegerField(
        "minutes a day",
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(24 * 60)],
    )
    note = models.TextField("balance notes", blank=True)
    _history_m2m_fields = [listeners]

    objects = HeadphoneMixQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "headphone mixes"
        constraints = [
            models.UniqueConstraint("setup", "name", name="headphone_mix_name_once_a_setup"),
        ]
        ordering = ["setup", "position", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """It stands on the page of its session's setups. Reads self.setup."""
        return f"{self.setup.get_absolute_url()}#headphones-{self.setup_id}"


class HeadphoneLine(models.Model):
    """One thing that is heard in a mix: a chain of the setup, or a click, a playback, a reverb."""

    mix = models.ForeignKey(HeadphoneMix, models.CASCADE, related_name="lines")
    position = models.PositiveSmallIntegerField()
    chain = models.ForeignKey(
        Chain, models.PROTECT, null=True, blank=True, related_name="headphone_lines"
    )
    source = models.CharField(max_length=60, blank=True)
    level = models.CharField(max_length=40)
    pan = models.CharField(max_length=40, blank=True)
    history = History()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(chain__isnull=False, source="")
                | (models.Q(chain__isnull=True) & ~models.Q(source="")),
                name="headphone_line_of_one_source",
            ),
        ]
        ordering = ["mix", "position", "pk"]

    def __str__(self) -> str:
        return f"{self.heard}: {self.level}"

    @property
    def heard(self) -> str:
        """Its source in words. Costs a query if the chain is not loaded."""
        return self.chain.source.name if self.chain else self.source


class MixSnapshot(models.Model):
    """The headphone mixes of a setup as they stood when takes were recorded. It never changes.

    `mixes` are plain values (`listening.HeardMix.to_json`); none: there was no mix.
    """

    setup = models.ForeignKey(Setup, models.PROTECT, related_name="mix_snapshots")
    mixes = models.JSONField(default=list, blank=True)
    taken_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["setup", "pk"]

    def __str__(self) -> str:
        """Reads self.setup; if not loaded, this causes a SQL query."""
        return f"{self.setup}, {self.taken_at:%Y-%m-%d %H:%M}"
