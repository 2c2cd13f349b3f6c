from django.conf import settings
from django.db import models

from gear.editing.history import History
from sessions.bookings.models import RecordingSession
from sessions.clients.visible import OfAProject
from sessions.songs.models import Part
from sessions.takes.models.takes import Take


class TakeFileQuerySet(OfAProject):
    to_project = "session__project"

    def waiting(self):
        """Those that nobody has linked to a take yet."""
        return self.filter(take__isnull=True)

    def for_list(self):
        return self.select_related("take__song", "part", "linked_by").order_by(
            "take__song__title", "take__number", "path", "pk"
        )


class TakeFile(models.Model):
    """A sound file that a recorder or workstation wrote: where it is, what its header says, and the
    take that it holds, once a person has confirmed that. The sound itself is not kept here.

    Unknown facts are None, or empty. `bext`, `ixml` and `problems` are as `takes.files.facts` has them.
    """

    session = models.ForeignKey(
        RecordingSession,
        models.PROTECT,
        related_name="take_files",
        help_text="On whose page the file was added.",
    )
    path = models.CharField(max_length=500, help_text="As it was found: folders and name.")
    folder = models.CharField(
        max_length=500,
        blank=True,
        help_text="The server’s folder; empty for a file that was dropped.",
    )
    size_bytes = models.PositiveBigIntegerField()
    sha256 = models.CharField(
        max_length=64, blank=True, help_text="Of all of it, where all of it was read."
    )
    container = models.CharField(max_length=8)
    sample_rate = models.PositiveIntegerField(null=True, blank=True)
    bit_depth = models.PositiveSmallIntegerField(null=True, blank=True)
    channels = models.PositiveSmallIntegerField(null=True, blank=True)
    frames = models.PositiveBigIntegerField(null=True, blank=True)
    time_reference = models.PositiveBigIntegerField(
        null=True, blank=True, help_text="The first sample, counted from midnight."
    )
    bext = models.JSONField(null=True, blank=True)
    ixml = models.JSONField(null=True, blank=True)
    problems = models.JSONField(default=list, blank=True)
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    added_at = models.DateTimeField(auto_now_add=True)
    take = models.ForeignKey(Take, models.PROTECT, null=True, blank=True, related_name="files")
    part = models.ForeignKey(
        Part,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="take_files",
        help_text="Empty where the file holds the whole take.",
    )
    reason = models.TextField(blank=True, help_text="Why it was taken for that take.")
    linked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    history = History()

    objects = TakeFileQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(take__isnull=False) | models.Q(part__isnull=True),
                name="file_of_a_part_is_of_a_take",
            ),
        ]
        ordering = ["path", "pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def name(self) -> str:
        return self.path.rpartition("/")[2]

    @property
    def where(self) -> str:
        """Its path on the server, or within what was dropped."""
        return f"{self.folder}/{self.path}" if self.folder else self.path

    @property
    def seconds(self) -> float | None:
        known = self.frames is not None and self.sample_rate
        return self.frames / self.sample_rate if known else None

    @property
    def stamped_seconds(self) -> float | None:
        """The time reference in seconds after midnight, None for zero, which is what a writer leaves
        that knows none. That of iXML may be counted at a rate of its own."""
        in_bext = (self.bext or {}).get("time_reference")
        rate = (not in_bext and (self.ixml or {}).get("time_reference_rate")) or self.sample_rate
        return self.time_reference / rate if self.time_reference and rate else None

    @property
    def track_names(self) -> list[str]:
        return [name for name in (self.ixml or {}).get("track_names", []) if name]

    @property
    def time_stamp(self) -> str:
        """The time reference as a time of day, `14:03:05`; as hours where it counts more than a day."""
        return "" if self.stamped_seconds is None else clock_text(self.stamped_seconds)

    @property
    def length(self) -> str:
        return "" if self.seconds is None else clock_text(self.seconds)

    @property
    def said(self) -> list[tuple[str, str]]:
        """What its recorder says beside the time, in words."""
        ixml, bext = self.ixml or {}, self.bext or {}
        said = [
            ("Project", ixml.get("project")),
            ("Scene", ixml.get("scene")),
            ("Take", ixml.get("take")),
            ("Circled", "yes" if ixml.get("circled") else ""),
            ("Kind", ixml.get("take_type")),
            ("Tracks", ", ".join(self.track_names)),
            ("Note", ixml.get("note")),
            ("Description", bext.get("description")),
        ]
        return [(name, value) for name, value in said if value]

    @property
    def format(self) -> str:
        """`96 kHz, 24 bit, 2 channels`, as far as it is known."""
        words = []
        if self.sample_rate:
            words.append(f"{self.sample_rate / 1000:g} kHz")
        if self.bit_depth:
            words.append(f"{self.bit_depth} bit")
        if self.channels:
            words.append(f"{self.channels} channel{'s' if self.channels > 1 else ''}")
        return ", ".join(words)


def clock_text(seconds: float) -> str:
    """ "14:03:05", a time of day or a length."""
    minutes, second = divmod(int(seconds), 60)
    hour, minute = divmod(minutes, 60)
    return f"{hour:02}:{minute:02}:{second:02}"
