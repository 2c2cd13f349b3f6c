from django.db import models
from django.urls import reverse

from gear.audio.tempo import Timeline
from gear.editing.history import History
from gear.editing.versions import Versioned
from sessions.clients.models import Person, Project
from sessions.clients.visible import OfAProject
from sessions.songs import identifiers, tempo


class SongQuerySet(OfAProject):
    to_project = "project"

    def for_list(self):
        """Songs with project and client loaded, and counts of parts and takes, which are counted
        for those alone that are shown."""
        return self.select_related("project__client").annotate(
            part_count=_counted("parts"), take_count=_counted("takes")
        )


def _counted(what: str) -> models.Subquery:
    counted = (
        Song.objects.filter(pk=models.OuterRef("pk")).order_by().annotate(n=models.Count(what))
    )
    return models.Subquery(counted.values("n"))


class Song(Versioned):
    """A song being recorded in a project."""

    project = models.ForeignKey(Project, models.PROTECT, related_name="songs")
    title = models.CharField(max_length=120)
    key = models.CharField(max_length=20, blank=True, help_text="D minor, for example.")
    meter = models.CharField(
        "time signature",
        max_length=120,
        blank=True,
        help_text=f"4/4, for example; where it changes, with the bars: {tempo.METER_EXAMPLE}.",
    )
    tempo_map = models.JSONField(
        default=list, blank=True, help_text='[{"bar": 1, "bpm": 96}] and so on.'
    )
    last_bar = models.PositiveSmallIntegerField(null=True, blank=True)
    writers = models.CharField(
        max_length=300,
        blank=True,
        help_text="As they are to be credited: Ada Fenwright (music), Bram Hawse (words).",
    )
    iswc = models.CharField("ISWC", max_length=20, blank=True, validators=[identifiers.clean_iswc])
    isrc = models.CharField(
        "ISRC of the recording", max_length=20, blank=True, validators=[identifiers.clean_isrc]
    )
    note = models.TextField(blank=True)

    objects = SongQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("project", "title", name="song_once_a_project"),
        ]
        ordering = ["title", "pk"]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("songs:detail", args=[self.pk])

    @property
    def tempo(self) -> str:
        """The tempo map as typed: `1: 96, 33: 104`."""
        return tempo.tempo_text(self.tempo_map)

    @property
    def timeline(self) -> Timeline | None:
        """Where its bars lie in time; None where tempo or time signature are not given."""
        if not (self.tempo_map and self.meter):
            return None
        tempos = [(change["bar"], change["bpm"]) for change in self.tempo_map]
        return Timeline(tempos, tempo.read_meters(self.meter))

    @property
    def iswc_printed(self) -> str:
        return identifiers.display_iswc(self.iswc) if self.iswc else ""

    @property
    def isrc_printed(self) -> str:
        return identifiers.display_isrc(self.isrc) if self.isrc else ""


class Section(models.Model):
    """A stretch of a song: verse, chorus, bridge."""

    song = models.ForeignKey(Song, models.PROTECT, related_name="sections")
    position = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=60)
    first_bar = models.PositiveSmallIntegerField(null=True, blank=True)
    history = History()

    class Meta:
        ordering = ["song", "position", "pk"]

    def __str__(self) -> str:
        return self.name


class LyricLine(models.Model):
    section = models.ForeignKey(Section, models.PROTECT, related_name="lines")
    position = models.PositiveSmallIntegerField()
    text = models.CharField(max_length=200)
    place = models.CharField(
        max_length=20,
        blank=True,
        help_text="Where it is sung from: bar and beat (bar 17, beat 3) or minutes and seconds.",
    )
    history = History()

    class Meta:
        ordering = ["section", "position", "pk"]

    def __str__(self) -> str:
        return self.text


class PartState(models.TextChoices):
    NOT_RECORDED = "not_recorded", "not recorded"
    RECORDED = "recorded", "recorded"
    CHOSEN = "chosen", "chosen"
    COMPED = "comped", "comped"


class Relation(models.TextChoices):
    DOUBLES = "doubles", "doubles"
    HARMONY = "harmony", "harmony to"
    REPLACES = "replaces", "replaces"


#: Marks of a take (`takes.models.Mark`) of which nothing can be used, and the one that chooses it.
SPOILT, MASTER = ("false_start", "long_false_start", "no_good"), "master"


class PartQuerySet(OfAProject):
    to_project = "song__project"

    def with_state(self):
        """Parts with performer and `state`; takes that were withdrawn count for nothing. What it asks
        ends at the first take that answers it."""
        stands = models.Q(take_parts__take__withdrawn=False)
        facts = {
            "is_usable": stands & ~models.Q(take_parts__mark__in=SPOILT),
            "is_circled": stands & models.Q(take_parts__circled=True),
            "is_master": stands & models.Q(take_parts__mark=MASTER),
            "is_comped": models.Q(comp_choices__take__withdrawn=False),
        }
        this = Part.objects.filter(pk=models.OuterRef("pk")).order_by()
        in_order = self.order_by("position", "name", "pk")  # also where they are counted
        return in_order.select_related("performer", "related_to").annotate(
            **{name: models.Exists(this.filter(fact)) for name, fact in facts.items()}
        )

    def for_list(self):
        """The same with `take_count`."""
        stands = models.Q(take_parts__take__withdrawn=False)
        return self.with_state().annotate(take_count=models.Count("take_parts", filter=stands))


class Part(Versioned):
    """What is to be recorded: lead vocal, harmony 1, fiddle."""

    song = models.ForeignKey(Song, models.PROTECT, related_name="parts")
    position = models.PositiveSmallIntegerField(default=1)
    name = models.CharField(max_length=60)
    performer = models.ForeignKey(
        Person, models.PROTECT, null=True, blank=True, related_name="parts"
    )
    is_guide = models.BooleanField(
        "guide or demo",
        default=False,
        help_text="To play to; other parts are recorded to replace it.",
    )
    relation = models.CharField("beside another part", max_length=8, choices=Relation, blank=True)
    related_to = models.ForeignKey(
        "self",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="related",
        verbose_name="which part",
        help_text="The part that it doubles, sings a harmony to, or replaces.",
    )
    note = models.TextField(blank=True)

    objects = PartQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint("song", "name", name="part_once_a_song"),
            models.CheckConstraint(
                condition=models.Q(relation="", related_to=None)
                | (~models.Q(relation="") & models.Q(related_to__isnull=False)),
                name="part_relates_to_a_part",
            ),
            models.CheckConstraint(
                condition=~models.Q(related_to=models.F("id")), name="part_relates_to_another"
            ),
        ]
        ordering = ["song", "position", "name", "pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def state(self) -> PartState:
        """How far it is. Load it `with_state`."""
        if self.is_comped:
            return PartState.COMPED
        if self.is_circled or self.is_master:
            return PartState.CHOSEN
        return PartState.RECORDED if self.is_usable else PartState.NOT_RECORDED

    @property
    def relation_in_words(self) -> str:
        """doubles Lead vocal; empty where it stands alone. Reads self.related_to."""
        return f"{self.get_relation_display()} {self.related_to}" if self.relation else ""
