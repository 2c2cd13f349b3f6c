from django.db import models

from gear.editing.history import History
from gear.editing.versions import Versioned
from sessions.songs.models import LyricLine, Part, Section


class CompChoice(models.Model):
    """Which take a lyric line, or a whole section, is taken from in a part's comp."""

    part = models.ForeignKey(Part, models.PROTECT, related_name="comp_choices")
    section = models.ForeignKey(
        Section, models.PROTECT, null=True, blank=True, related_name="comp_choices"
    )
    line = models.ForeignKey(
        LyricLine, models.PROTECT, null=True, blank=True, related_name="comp_choices"
    )
    take = models.ForeignKey("Take", models.PROTECT, related_name="comp_choices")
    history = History()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(section__isnull=False, line__isnull=True)
                | models.Q(section__isnull=True, line__isnull=False),
                name="comp_choice_of_line_or_section",
            ),
            models.UniqueConstraint("part", "line", name="comp_choice_line_once"),
            models.UniqueConstraint("part", "section", name="comp_choice_section_once"),
        ]

    def __str__(self) -> str:
        return f"{self.line or self.section}: {self.take}"


class CompGrade(Versioned):
    """How a lyric line, or a section without words, came out in a take of the part."""

    take_part = models.ForeignKey("TakePart", models.PROTECT, related_name="line_grades")
    section = models.ForeignKey(
        Section, models.PROTECT, null=True, blank=True, related_name="comp_grades"
    )
    line = models.ForeignKey(
        LyricLine, models.PROTECT, null=True, blank=True, related_name="comp_grades"
    )
    grade = models.PositiveSmallIntegerField(
        null=True, blank=True, choices=[(grade, str(grade)) for grade in range(1, 6)]
    )
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(section__isnull=False, line__isnull=True)
                | models.Q(section__isnull=True, line__isnull=False),
                name="comp_grade_of_line_or_section",
            ),
            models.UniqueConstraint("take_part", "line", name="comp_grade_line_once"),
            models.UniqueConstraint("take_part", "section", name="comp_grade_section_once"),
        ]

    def __str__(self) -> str:
        return f"{self.line or self.section}: {self.grade or 'not graded'}"
