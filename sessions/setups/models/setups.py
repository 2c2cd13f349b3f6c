from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse

from gear.audio.values import format_value
from gear.editing.versions import Versioned
from gear.equipment.models import Unit
from sessions.bookings.models import RecordingSession
from sessions.clients.visible import OfAProject
from sessions.setups.models.chains import Chain
from sessions.setups.models.revisions import Revision
from sessions.setups.models.stages import Stage


class SetupQuerySet(OfAProject):
    to_project = "session__project"

    def with_chains(self):
        """Setups with their chains as they stand now, in a constant number of queries."""
        return self.select_related("session__project").prefetch_related(
            models.Prefetch("chains", Chain.objects.with_newest_revision())
        )


class Setup(Versioned):
    """What stands in the room for one part of the day."""

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="setups")
    position = models.PositiveSmallIntegerField(default=1)
    name = models.CharField(max_length=80, help_text="Group vocals, morning; fiddle overdubs …")
    buffer_samples = models.PositiveIntegerField(
        "buffer, samples",
        null=True,
        blank=True,
        validators=[MinValueValidator(1)],
        help_text="The buffer that the performers monitor through.",
    )
    converter_samples = models.PositiveIntegerField(
        "converters, samples",
        null=True,
        blank=True,
        help_text="In and out together, as their makers state it. Empty: as on the models’ pages.",
    )
    clock_master = models.CharField(
        max_length=60,
        blank=True,
        help_text="What the others follow: the converter, the house clock …",
    )
    rate_seen_hz = models.PositiveIntegerField(
        "rate shown at the converter, Hz", null=True, blank=True
    )
    click = models.CharField(
        max_length=80,
        blank=True,
        help_text="Its sound and level: side stick, just under the voice …",
    )
    count_in_bars = models.PositiveSmallIntegerField("count-in, bars", null=True, blank=True)
    note = models.TextField(blank=True)
    struck_at = models.DateTimeField(
        "struck at",
        null=True,
        blank=True,
        editable=False,
        help_text="Empty while it is set up: setups that stand share the patch bays.",
    )

    objects = SetupQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("session", "name", name="setup_name_once_a_session"),
        ]
        ordering = ["session", "position", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("setups:session", args=[self.session_id])

    @property
    def is_up(self) -> bool:
        return self.struck_at is None

    @property
    def clock_in_words(self) -> str:
        """Who is followed, and the rate that the converter shows; empty where nobody wrote it down."""
        rate = format_value(self.rate_seen_hz, "Hz") if self.rate_seen_hz else ""
        return ", ".join(filter(None, (self.clock_master, rate and f"{rate} at the converter")))

    @property
    def click_in_words(self) -> str:
        bars = self.count_in_bars
        count_in = "" if bars is None else f"count-in {bars} bar{'' if bars == 1 else 's'}"
        return ", ".join(filter(None, (self.click, count_in)))

    def free_channel(self, unit: Unit, *, rather: int | None = None) -> int | None:
        """The first channel of the unit that no chain that is up here stands on, or `rather` that
        one; None where it has only one, or none is left. Costs a query for a unit of several."""
        if unit.model.channels == 1:
            return None
        newest = Revision.objects.newest().filter(chain__setup=self, chain__struck_at=None)
        used = Stage.objects.filter(unit=unit, revision__in=newest).values_list(
            "channel", flat=True
        )
        free = set(range(1, unit.model.channels + 1)) - set(used)
        return rather if rather in free else min(free, default=None)
