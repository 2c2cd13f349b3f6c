from django.db import models


class Sought(models.TextChoices):
    """What is found by all that was done in it, and not by its own few words alone."""

    SONG = "song", "Song"
    SESSION = "session", "Session"


class SearchText(models.Model):
    """The words by which a song or a session may be remembered, gathered from many rows.

    Nothing is known by it alone: it is made from those rows, and made anew when they change
    (`upkeep.py`). Words are folded, each stands once, and names of people, units, rooms and projects
    stand as a reference (`#u17`), so that renaming one changes no text. `own` is what it is called,
    `work` what was done in it, `around` what stands about it in its project.
    """

    kind = models.CharField(max_length=7, choices=Sought)
    subject = models.PositiveBigIntegerField(help_text="The key of the song or session.")
    own = models.TextField(blank=True)
    work = models.TextField(blank=True)
    around = models.TextField(blank=True)
    days = models.TextField(blank=True, help_text="On which it was worked on.")
    days_around = models.TextField(blank=True)
    read_at = models.DateTimeField(
        db_index=True, help_text="Before its rows were read: it is as of then."
    )

    class Meta:
        constraints = [
            models.UniqueConstraint("kind", "subject", name="search_text_once"),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.subject}"
