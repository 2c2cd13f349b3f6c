from collections import defaultdict

from django.db import models

from gear.editing.history import History
from gear.editing.versions import Versioned
from sessions.bookings.models.sessions import RecordingSession
from sessions.clients.models import Person
from sessions.editing.rules import one_of
from sessions.songs.models import Part, Song


class CreditRole(models.TextChoices):
    VOCALIST = "vocalist", "Vocalist"
    MUSICIAN = "musician", "Musician"
    PRODUCER = "producer", "Producer"
    RECORDING_ENGINEER = "recording_engineer", "Recording engineer"
    ASSISTANT_ENGINEER = "assistant_engineer", "Assistant engineer"
    MIXING_ENGINEER = "mixing_engineer", "Mixing engineer"
    MASTERING_ENGINEER = "mastering_engineer", "Mastering engineer"
    ARRANGER = "arranger", "Arranger"
    CONDUCTOR = "conductor", "Conductor"


#: Those who are heard.
PERFORMERS = (CreditRole.VOCALIST, CreditRole.MUSICIAN, CreditRole.CONDUCTOR)


class CreditQuerySet(models.QuerySet):
    def of_performers(self):
        return self.filter(role__in=PERFORMERS)

    def for_list(self):
        """With person, and what they are for."""
        on = CreditedOn.objects.select_related("song", "part__song")
        return self.select_related("person").prefetch_related(models.Prefetch("on", on))


class Credit(Versioned):
    """Who did what at a session. Without rows of `on` it is for all that was recorded there."""

    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="credits")
    person = models.ForeignKey(Person, models.PROTECT, related_name="credits")
    role = models.CharField(max_length=20, choices=CreditRole)
    instrument = models.CharField(max_length=60, blank=True)
    credited_as = models.CharField(
        max_length=120,
        blank=True,
        help_text="Where they want another name than on other records.",
    )

    objects = CreditQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                "session", "person", "role", "instrument", name="credit_once_a_session"
            ),
        ]
        ordering = ["role", "person__name", "pk"]

    def __str__(self) -> str:
        return f"{self.person}: {self.get_role_display().lower()}"

    @property
    def name(self) -> str:
        """As they want to be credited. Reads self.person."""
        return self.credited_as or self.person.name_on_records

    @property
    def does(self) -> str:
        """The instrument, or the role."""
        return self.instrument or self.get_role_display()

    @property
    def songs_in_words(self) -> list[str]:
        """“Neap and Spring”, “Slow the Lantern: Fanfare, Solo”: a part that is called as the
        instrument goes without saying. Load it `for_list`."""
        parts: dict[Song, list[str]] = defaultdict(list)
        for each in sorted(self.on.all(), key=_by_song):
            says_more = each.part and each.part.name.casefold() != self.instrument.casefold()
            parts[each.song_of_it] += [each.part.name] if says_more else []
        return [f"{song}: {', '.join(parts[song])}" if parts[song] else str(song) for song in parts]


class CreditedOn(models.Model):
    """A song, or one part of one, that a credit is for."""

    credit = models.ForeignKey(Credit, models.PROTECT, related_name="on")
    song = models.ForeignKey(Song, models.PROTECT, null=True, related_name="credited_on")
    part = models.ForeignKey(Part, models.PROTECT, null=True, related_name="credited_on")
    history = History()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=one_of("song", "part"), name="credited_on_song_or_part"
            ),
            models.UniqueConstraint("credit", "song", name="credited_song_once"),
            models.UniqueConstraint("credit", "part", name="credited_part_once"),
        ]
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.part} of {self.part.song}" if self.part else str(self.song)

    @property
    def song_of_it(self) -> Song:
        """Reads self.song or self.part.song."""
        return self.part.song if self.part else self.song


def _by_song(on: CreditedOn):
    return on.song_of_it.title, on.song_of_it.pk, on.part.position if on.part else 0
