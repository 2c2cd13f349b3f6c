from django.conf import settings
from django.db import models

from sessions.bookings.models import RecordingSession
from sessions.takes.models.takes import Take


class What(models.TextChoices):
    """What can be pressed while takes are recorded."""

    START = "start", "Start"
    OVER = "over", "A take that is over"
    END = "end", "End"
    MARK = "mark", "Mark"
    NOTE = "note", "Note"
    CIRCLE = "circle", "Circle"
    WITHDRAW = "withdraw", "Withdraw"
    RESTORE = "restore", "Restore"
    UNDO = "undo", "Undo"


class TakePress(models.Model):
    """One press of the tracking page, which counts once however often it is sent.

    `before` holds what an undo puts back, `after` the versions that it must find for that.
    """

    number = models.UUIDField(unique=True, help_text="Made on the device when it was pressed.")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    session = models.ForeignKey(RecordingSession, models.PROTECT, related_name="take_presses")
    take = models.ForeignKey(Take, models.PROTECT, related_name="presses")
    what = models.CharField(max_length=10, choices=What)
    pressed_at = models.DateTimeField(help_text="By the clock of the device, which may be wrong.")
    at = models.DateTimeField(help_text="By the clock of the server.")
    received_at = models.DateTimeField(auto_now_add=True)
    before = models.JSONField(default=dict)
    after = models.JSONField(default=dict)
    answer = models.JSONField(default=dict)
    undone = models.BooleanField(default=False)

    class Meta:
        ordering = ["pk"]
        indexes = [models.Index(fields=["session", "user"], name="take_press_of_user")]

    def __str__(self) -> str:
        return f"{self.get_what_display()}: {self.take}"
