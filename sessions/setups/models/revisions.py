from datetime import datetime
from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.functional import cached_property

from gear.audio.values import number_text
from gear.editing.versions import Versioned
from gear.equipment.models import Category, Unit
from gear.panels.models import Control
from sessions.clients.visible import OfAProject
from sessions.setups.models.groups import GroupFacts
from sessions.setups.models.photos import Photo, in_force
from sessions.setups.models.recording_format import RecordingFormat
from sessions.setups.models.snapshot import UnitFacts
from sessions.setups.models.sources import Source, SourceFacts
from sessions.setups.models.stages import Stage
from sessions.songs.models import Part


class RevisionQuerySet(OfAProject):
    to_project = "chain__setup__session__project"

    def newest(self, at: datetime | None = None):
        """Of each chain, the revision with the highest number, of those that were there `at` a moment: one
        that is later than now was made before the clock was set back."""
        set_back = models.Q(created_at__gt=timezone.now())
        there = models.Q(created_at__lte=at) | set_back if at else models.Q()
        newer = Revision.objects.filter(
            there, chain=models.OuterRef("chain"), number__gt=models.OuterRef("number")
        )
        return self.filter(there, ~models.Exists(newer))

    def with_copied(self):
        """Those on which controls were copied and may not yet be set: `not_yet_set` counts them."""
        stages = Stage.objects.filter(revision=models.OuterRef("pk")).exclude(not_yet_set=[])
        return self.filter(models.Exists(stages) | ~models.Q(chain__source__not_yet_set=[]))

    def carrying(self, parts):
        """Those of chains that carry one of the parts, or whatever is recorded."""
        carried = Part.chains.through.objects.filter(chain=models.OuterRef("chain"))
        return self.filter(~models.Exists(carried) | models.Exists(carried.filter(part__in=parts)))

    def to_fix(self):
        """Revisions with all that is kept of them once a take was recorded through them."""
        source = "chain__source"
        return self.select_related(
            "chain__setup__session__project",
            "chain__group",
            f"{source}__performer",
            f"{source}__amplifier__model",
            f"{source}__amplifier__supply__model",
            f"{source}__panel",
            f"{source}__played_from__source",
        ).prefetch_related(f"{source}__panel__controls", f"{source}__chains")

    def with_level_of(self, chain):
        """The last first: revisions of other chains with the level of a source of the same name."""
        return (
            self.filter(chain__source__name__iexact=chain.source.name)
            .exclude(chain=chain)
            .exclude(source_spl_db=None, source_dbu=None)
            .select_related("chain__setup__session", "chain__source")
            .order_by("-created_at")
        )

    def with_stages(self):
        """Revisions with all that a page or sheet of them prints, in a constant number of queries."""
        return self.select_related(
            "chain__setup__session__project",
            "chain__group",
            "placement",
            "created_by",
        ).prefetch_related(
            models.Prefetch("chain__source", Source.objects.for_list()),
            models.Prefetch("chain__parts", Part.objects.select_related("song")),
            models.Prefetch("chain__setup__photos", Photo.objects.for_list()),
            models.Prefetch("stages", Stage.objects.for_list()),
        )


class Revision(Versioned):
    """The chain as it stood. A take that points to it fixes it; the next change is made on a copy."""

    #: What is planned for: the level of the source.
    SOURCE_FACTS = ("source_spl_db", "source_distance_cm", "source_dbu")
    #: What is fed in to be read at each stage.
    TONE_FACTS = ("tone_hz", "tone_dbu")

    chain = models.ForeignKey("Chain", models.PROTECT, related_name="revisions")
    number = models.PositiveSmallIntegerField(default=1)
    fixed_at = models.DateTimeField(null=True, blank=True, editable=False)
    created_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    source_spl_db = models.DecimalField(
        "source level, dB SPL",
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(160)],
    )
    source_distance_cm = models.DecimalField(
        "level measured at, cm",
        max_digits=6,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0.1"))],
        help_text="Empty: at the microphone.",
    )
    source_dbu = models.DecimalField(
        "source level, dBu",
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        help_text="Of an instrument or a player that comes in by cable.",
    )
    tone_hz = models.DecimalField(
        "test tone, Hz", max_digits=7, decimal_places=1, null=True, blank=True
    )
    tone_dbu = models.DecimalField(
        "test tone, dBu",
        max_digits=5,
        decimal_places=2,
        null=True,
        blank=True,
        help_text="Fed into the first input after the source.",
    )
    readings_from = models.PositiveSmallIntegerField(
        null=True,
        blank=True,
        editable=False,
        help_text="The number of the revision on which the units’ levels were read.",
    )
    note = models.TextField(blank=True)
    wiring = models.JSONField(
        default=dict,
        blank=True,
        editable=False,
        help_text="How the bays were wired when it was fixed.",
    )
    format = models.JSONField(
        default=dict,
        blank=True,
        editable=False,
        help_text="What the project was recorded as when it was fixed.",
    )
    grouped = models.JSONField(
        default=dict,
        blank=True,
        editable=False,
        help_text="What its group was when it was fixed.",
    )
    sourced = models.JSONField(
        default=dict,
        blank=True,
        editable=False,
        help_text="What its source was when it was fixed.",
    )

    objects = RevisionQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("chain", "number", name="revision_number_once"),
        ]
        ordering = ["chain", "number"]

    def __str__(self) -> str:
        """Reads self.chain; if not loaded, this causes a SQL query."""
        return f"{self.chain}, revision {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("setups:revision", args=[self.pk])

    @property
    def is_fixed(self) -> bool:
        return self.fixed_at is not None

    @property
    def source_level_text(self) -> str:
        """As it was logged: 96 dB SPL at 30 cm, +4 dBu by cable; empty where it was not."""
        if self.source_dbu is not None:
            return f"{number_text(self.source_dbu, 'dBu')} by cable"
        level = number_text(self.source_spl_db, "dB SPL")
        distance = number_text(self.source_distance_cm, "cm")
        return f"{level} at {distance}" if level and distance else level

    @property
    def format_today(self) -> RecordingFormat:
        """Its project's and its setup's. Load it `with_stages`."""
        setup = self.chain.setup
        return RecordingFormat.of(
            setup.session.project, clock=setup.clock_in_words, click=setup.click_in_words
        )

    @property
    def recording_format(self) -> RecordingFormat:
        """Of a fixed revision that of its day, else today's. Load it `with_stages`."""
        return RecordingFormat(**self.format) if self.format else self.format_today

    @property
    def group_facts(self) -> GroupFacts | None:
        """Of a fixed revision those of its day, else today's. Load it `with_stages`."""
        if self.is_fixed:
            return GroupFacts(**self.grouped) if self.grouped else None
        return GroupFacts.of(self.chain)

    @cached_property
    def photos_in_force(self) -> list[Photo]:
        """No query if it is loaded `with_stages`."""
        return in_force(self.chain.setup.photos.all(), self)

    @cached_property
    def source_facts(self) -> SourceFacts:
        """Of a fixed revision those of its day, else today's. Load it `with_stages`."""
        if self.sourced:
            return SourceFacts.from_json(self.sourced)
        return SourceFacts.of(self.chain.source, chain_id=self.chain_id)

    @property
    def hears_amplifier(self) -> UnitFacts | None:
        """The unit of the house that its microphone hears its source through. Load it `with_stages`."""
        units = (stage.facts.unit for stage in self.stages.all())
        has_microphone = any(unit.model.category == Category.MICROPHONE for unit in units)
        return self.source_facts.amplifier if has_microphone else None

    @property
    def not_yet_set(self) -> int:
        """How many of its controls were copied and are not yet set. Load it `with_stages`."""
        copied = sum(len(stage.not_yet_set) for stage in self.stages.all())
        return copied + (len(self.source_facts.not_yet_set) if self.hears_amplifier else 0)

    def amplifier_settings(self) -> list[tuple[Control, float | None]]:
        """How that was set, control by control; empty where it hears none."""
        facts = self.source_facts
        controls = facts.controls() if self.hears_amplifier else ()
        return [(control, facts.setting(control)) for control in controls]

    def units_out_of_service(self) -> list[Unit]:
        """Those of its units that are on the bench or retired today. Load it `with_stages`."""
        units = dict.fromkeys(stage.unit for stage in self.stages.all())
        if amplifier := self.chain.source.amplifier:
            units[amplifier] = None
        return [unit for unit in units if not unit.is_in_service]
