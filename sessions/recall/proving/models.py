from datetime import timedelta
from functools import cached_property

from django.conf import settings
from django.db import models
from django.urls import reverse
from django.utils import timezone

from gear.audio.level_text import level_text
from gear.audio.proving.in_dbu import in_dbu
from gear.audio.proving.plan import Plan
from gear.audio.proving.result import Result
from gear.audio.proving.three_tones.layout import ThreeTones
from gear.audio.proving.three_tones.tone import Tone
from gear.editing.history import History
from gear.equipment.models import Unit
from sessions.clients.models import Project
from sessions.recall.models import Rebuild
from sessions.recall.proving.layouts import layout_of
from sessions.setups.models import Revision


class Depth(models.TextChoices):
    TONES = "tones", "Three tones"
    FULL = "full", "Full measurement"


class MeasurementState(models.TextChoices):
    """A test file was made, and its return is read; what failed takes another return."""

    BEGUN = "begun", "Test file made"
    WAITING = "waiting", "Waiting"
    RUNNING = "running", "Being read"
    DONE = "done", "Done"
    FAILED = "failed", "Not measured"


#: For so long the cautions that somebody confirmed are taken to hold. Ours, no source: what is plugged and
#: switched in a control room is another thing after that.
CAUTIONS_HOLD = timedelta(hours=1)
#: What is said as it goes on, or at length: the history keeps what it is of, and what became of it.
UNRECORDED = ["progress", "plan", "tones", "result", "settings_digest", "recording"]


class MeasurementQuerySet(models.QuerySet):
    def visible_to(self, user):
        """Those of chains and rebuilds of the projects that the user sees; of units and cables the house, and
        whoever measured a cable."""
        if user.has_perm("studio_sessions.view_all_projects"):
            return self
        projects = Project.objects.visible_to(user)
        return self.filter(
            models.Q(revision__chain__setup__session__project__in=projects)
            | models.Q(rebuild__song__project__in=projects)
            | models.Q(is_cable=True, cautions_by=user)
        )

    def with_names(self):
        """With everything that their own pages name."""
        return self.select_related(
            "revision__chain__source",
            "revision__chain__setup__session__project",
            "rebuild__song__project",
            "unit__model",
            "cable",
            "cautions_by",
            "measured_by",
            "undone_by",
        )

    def standing(self):
        """Those that found something and were not undone."""
        return self.filter(state=MeasurementState.DONE, undone_at=None)

    def under_way(self):
        return self.filter(state__in=[MeasurementState.WAITING, MeasurementState.RUNNING])

    def cables(self, rate_hz: int):
        """Those that can be taken off what is measured at that rate, the newest first."""
        of_rate = self.standing().filter(is_cable=True, plan__rate_hz=rate_hz)
        return of_rate.select_related("measured_by")

    def full(self):
        return self.filter(depth=Depth.FULL)


class Measurement(models.Model):
    """What a chain did to a test signal, from where it was fed in: not microphone, placement and room.

    It is of a chain as it stood (`revision`), of one set up again (`rebuild` and `chain_number`), of a
    unit by itself, or of the cable that goes in place of all of them. `fed_dbu` is what the ceiling
    of the test file is where it is fed in, behind the pad; `tones` are of depth "tones", as
    `Tone.as_json` has them, without what was read until it is done; such a one has no plan where no file
    can be played so loud, but a generator. None is deleted, but one may be undone, which strikes it out.
    """

    revision = models.ForeignKey(
        Revision, models.PROTECT, null=True, blank=True, related_name="measurements"
    )
    rebuild = models.ForeignKey(
        Rebuild, models.PROTECT, null=True, blank=True, related_name="measurements"
    )
    chain_number = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="Of the rebuild."
    )
    unit = models.ForeignKey(
        Unit, models.PROTECT, null=True, blank=True, related_name="measurements"
    )
    channel = models.PositiveSmallIntegerField(null=True, blank=True, help_text="Of the unit.")
    is_cable = models.BooleanField("a cable by itself", default=False)
    up_to = models.PositiveSmallIntegerField(
        "measured up to unit",
        null=True,
        blank=True,
        help_text="The position of the last stage measured through. Empty: up to the converter.",
    )
    depth = models.CharField("kind", max_length=5, choices=Depth)
    plan = models.JSONField(
        null=True,
        blank=True,
        help_text="Of the test file, by its depth: Plan.as_json(), or that of ThreeTones.",
    )
    tones = models.JSONField(null=True, blank=True)
    pad_db = models.DecimalField("pad, dB", max_digits=4, decimal_places=1, default=0)
    fed_dbu = models.DecimalField(
        "loudest where it is fed in, dBu", max_digits=5, decimal_places=2, null=True, blank=True
    )
    cable = models.ForeignKey(
        "self",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="taken_from",
        verbose_name="cable taken off",
        help_text="Whose latency and gain are taken off.",
    )
    settings_digest = models.CharField(
        max_length=64,
        blank=True,
        help_text="Of how its units were set: another one today says that they were changed since.",
    )
    state = models.CharField(max_length=7, choices=MeasurementState, default=MeasurementState.BEGUN)
    progress = models.PositiveSmallIntegerField(default=0)
    recording = models.FileField(upload_to="measurements", max_length=80, blank=True)
    is_recording_kept = models.BooleanField("recording kept", default=False)
    original_name = models.CharField("name of the recording", max_length=255, blank=True)
    result = models.JSONField(null=True, blank=True, help_text="Result.as_json().")
    refusal = models.TextField("why not measured", blank=True)
    note = models.TextField(blank=True)
    cautions_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        models.PROTECT,
        related_name="+",
        verbose_name="cautions confirmed by",
    )
    cautions_at = models.DateTimeField("cautions confirmed at")
    measured_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    measured_at = models.DateTimeField(null=True, blank=True)
    undone_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    undone_at = models.DateTimeField(null=True, blank=True)
    history = History(excluded_fields=UNRECORDED)

    objects = MeasurementQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=(
                    models.Q(revision__isnull=False, rebuild=None, unit=None, is_cable=False)
                    | models.Q(revision=None, rebuild__isnull=False, unit=None, is_cable=False)
                    | models.Q(revision=None, rebuild=None, unit__isnull=False, is_cable=False)
                    | models.Q(revision=None, rebuild=None, unit=None, is_cable=True)
                ),
                name="measurement_of_one_thing",
            ),
            models.CheckConstraint(
                condition=models.Q(rebuild__isnull=False, chain_number__isnull=False)
                | models.Q(rebuild=None, chain_number=None),
                name="measurement_of_a_rebuilt_chain",
            ),
            models.CheckConstraint(
                condition=models.Q(fed_dbu__isnull=False)
                & (
                    models.Q(depth=Depth.FULL, plan__isnull=False, tones__isnull=True)
                    | models.Q(depth=Depth.TONES, tones__isnull=False, result__isnull=True)
                ),
                name="measurement_by_its_depth",
            ),
            models.CheckConstraint(
                condition=~models.Q(state=MeasurementState.DONE)
                | models.Q(measured_by__isnull=False, measured_at__isnull=False)
                & (models.Q(result__isnull=False) | models.Q(tones__isnull=False)),
                name="measurement_done_by_somebody",
            ),
            models.CheckConstraint(
                condition=models.Q(undone_by=None, undone_at=None)
                | models.Q(undone_by__isnull=False, undone_at__isnull=False),
                name="measurement_undone_by_somebody",
            ),
        ]
        ordering = ["-pk"]

    def __str__(self) -> str:
        return f"Measurement {self.pk}"

    def get_absolute_url(self) -> str:
        return reverse("proving:detail", args=[self.pk])

    @property
    def of(self) -> str:
        """What was measured. Load it `with_names`."""
        if self.revision:
            return str(self.revision)
        if self.rebuild:
            return f"{self.rebuild}, chain {self.chain_number}"
        if self.unit:
            return f"{self.unit}{f', channel {self.channel}' if self.channel else ''}"
        return "a cable"

    @property
    def before(self) -> "Measurement | None":
        """What stands of the same, and was measured there last before it. A query."""
        same = Measurement.objects.standing().filter(
            up_to=self.up_to, measured_at__lt=self.measured_at
        )
        if self.revision:
            same = same.filter(revision__chain=self.revision.chain_id)
        else:
            same = same.filter(
                rebuild=self.rebuild_id,
                chain_number=self.chain_number,
                unit=self.unit_id,
                channel=self.channel,
                is_cable=self.is_cable,
            )
        return same.order_by("-measured_at").first()

    @property
    def start_page(self) -> str:
        """Where another one of the same is begun; empty where that is not known here."""
        if self.revision:
            page = "proving:chain" if self.depth == Depth.FULL else "proving:tones"
            address = reverse(page, args=[self.revision.chain_id])
            return f"{address}?up_to={self.up_to}" if self.up_to else address
        if self.rebuild:
            page = "measure" if self.depth == Depth.FULL else "measure_tones"
            address = reverse(f"then_and_now:{page}", args=[self.rebuild_id, self.chain_number])
            return f"{address}?up_to={self.up_to}" if self.up_to else address
        return reverse("proving:cables") if self.is_cable else ""

    @property
    def is_round(self) -> bool:
        """Of a rebuilt chain: what was turned before it goes back when it is undone."""
        return self.rebuild_id is not None and self.depth == Depth.FULL

    @property
    def undo_page(self) -> str:
        page = "then_and_now:undo" if self.is_round else "proving:undo"
        return reverse(page, args=[self.pk])

    @property
    def rate_in_words(self) -> str:
        return f"{self.plan['rate_hz'] / 1000:g} kHz"

    @property
    def fed_in_words(self) -> str:
        return level_text(float(self.fed_dbu))

    @property
    def has_ended(self) -> bool:
        return self.state in (MeasurementState.DONE, MeasurementState.FAILED)

    @property
    def is_done(self) -> bool:
        return self.state == MeasurementState.DONE

    @property
    def is_under_way(self) -> bool:
        return self.state in (MeasurementState.WAITING, MeasurementState.RUNNING)

    @property
    def is_undone(self) -> bool:
        return self.undone_at is not None

    @property
    def is_closed(self) -> bool:
        """Of a rebuild that is finished, whose report stays as it is."""
        return self.rebuild is not None and self.rebuild.is_finished

    @property
    def takes_return(self) -> bool:
        return (
            not self.is_undone
            and not self.is_closed
            and self.state in (MeasurementState.BEGUN, MeasurementState.FAILED)
        )

    @property
    def may_be_undone(self) -> bool:
        return self.is_done and not self.is_undone and not self.is_closed

    @property
    def cautions_hold(self) -> bool:
        return timezone.now() - self.cautions_at < CAUTIONS_HOLD

    @property
    def offers_file(self) -> bool:
        return self.plan is not None and self.takes_return and self.cautions_hold

    def may_be_worked_on_by(self, user) -> bool:
        """A mix engineer measures what they rebuild, and reads the rest of their projects."""
        is_theirs = self.rebuild_id is not None or self.is_cable
        return is_theirs or user.has_perm("studio_sessions.view_all_projects")

    @cached_property
    def file_plan(self) -> Plan | ThreeTones:
        """Of the test file. Raises ValueError where another version of the program made it."""
        return layout_of(self.plan)

    @cached_property
    def tones_read(self) -> tuple[Tone, ...]:
        """From the bottom up; none of a full measurement."""
        return tuple(Tone.from_json(each) for each in self.tones or ())

    @cached_property
    def found(self) -> Result | None:
        """None until it is done, and of depth "tones"."""
        return None if self.result is None else Result.from_json(self.result)

    @property
    def full_scale_dbu(self) -> float:
        """Of the converters, out and in, as they were aligned then."""
        return float(self.fed_dbu) + float(self.pad_db) - self.plan["ceiling_dbfs"]

    @cached_property
    def found_in_dbu(self) -> Result | None:
        """What it found, with levels in dBu where they say dBFS: see `in_dbu`."""
        if self.found is None:
            return None
        sent = float(self.fed_dbu) - self.plan["ceiling_dbfs"]
        return in_dbu(self.found, sent_full_scale_dbu=sent, read_full_scale_dbu=self.full_scale_dbu)
