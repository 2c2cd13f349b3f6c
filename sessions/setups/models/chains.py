from itertools import groupby

from django.db import models
from django.urls import reverse

from gear.editing.history import History
from sessions.clients.visible import OfAProject
from sessions.setups.models.groups import ChainGroup, Seat
from sessions.setups.models.revisions import Revision
from sessions.setups.models.sources import Source
from sessions.songs.models import Part

ARROW = " →\u00a0"  # leads on to what follows it, on the same line


class ChainQuerySet(OfAProject):
    to_project = "setup__session__project"

    def with_newest_revision(self):
        """Chains whose `newest_revision()` costs no query, with all its stages."""
        return self.prefetch_related(
            models.Prefetch("parts", Part.objects.select_related("song")),
            models.Prefetch(
                "revisions", Revision.objects.newest().with_stages(), to_attr="newest_revisions"
            ),
        )


class ChainManager(models.Manager.from_queryset(ChainQuerySet)):
    """A chain is named by its source, so that is always loaded with it."""

    def get_queryset(self):
        return super().get_queryset().select_related("source")


class Chain(models.Model):
    """The way of one source to one recorded track."""

    setup = models.ForeignKey("Setup", models.PROTECT, related_name="chains")
    position = models.PositiveSmallIntegerField(default=1)
    source = models.ForeignKey(Source, models.PROTECT, related_name="chains")
    track = models.CharField(max_length=60, help_text="The recorded track’s name.")
    destination_input = models.CharField(
        max_length=40, blank=True, help_text="The recorder’s or interface’s input."
    )
    summed_at = models.CharField(
        max_length=60,
        blank=True,
        help_text="Where it is added to others that feed the same track: console bus 1 …",
    )
    taken_by = models.CharField(
        "feed",
        max_length=60,
        blank=True,
        help_text="Where one source feeds several chains: direct, split 2, re-amplified return …",
    )
    group = models.ForeignKey(
        ChainGroup, models.SET_NULL, null=True, blank=True, related_name="chains"
    )
    seat = models.CharField("in the group", max_length=6, choices=Seat, blank=True)
    parts = models.ManyToManyField(
        Part,
        blank=True,
        related_name="chains",
        help_text="What it carries, of all songs. None: whatever is recorded, as room microphones do.",
    )
    pinned = models.JSONField(
        default=list,
        blank=True,
        editable=False,
        help_text="Which controls are changed while tracking: stage key, control key.",
    )
    struck_at = models.DateTimeField(
        "struck at",
        null=True,
        blank=True,
        editable=False,
        help_text="Empty while it is set up: one that another took the place of is not.",
    )
    history = History(m2m_fields=[parts], excluded_fields=["pinned"])

    objects = ChainManager()

    class Meta:
        ordering = ["setup", "position", "pk"]

    def __str__(self) -> str:
        """Reads self.source; if not loaded, this causes a SQL query."""
        return f"{self.source}{ARROW}{self.track}"

    def get_absolute_url(self) -> str:
        return reverse("setups:chain", args=[self.pk])

    @property
    def is_up(self) -> bool:
        """Whether it is set up, with its setup. Reads self.setup."""
        return self.struck_at is None and self.setup.is_up

    def carries(self, part: Part) -> bool:
        """Load it with its parts."""
        parts = self.parts.all()
        return not parts or part in parts

    @property
    def parts_in_words(self) -> str:
        """By song; empty where it carries whatever is recorded. Load it with "parts__song"."""
        songs = groupby(self.parts.all(), key=lambda part: part.song)
        return "; ".join(f"{song}: {', '.join(map(str, parts))}" for song, parts in songs)

    def newest_revision(self):
        """The chain as it stands now. Costs queries unless loaded `with_newest_revision`."""
        if "newest_revisions" in self.__dict__:
            return self.newest_revisions[0]
        return self.revisions.newest().with_stages().get()

    def is_recorded(self) -> bool:
        """Whether takes were recorded through it, so that its words are no longer free. A query."""
        return self.revisions.filter(fixed_at__isnull=False).exists()

    def recorded_parts(self) -> models.QuerySet[Part]:
        """The parts of all takes that went through it, whether or not it carries them."""
        return Part.objects.filter(take_parts__take__revisions__chain=self).distinct()
