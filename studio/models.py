from django.contrib.auth.models import AbstractUser
from django.db import models

from studio.roles import Role


class Theme(models.TextChoices):
    AUTO = "auto", "As the device"
    LIGHT = "light", "Light"
    DARK = "dark", "Dark"


class User(AbstractUser):
    """Somebody who signs in. What they may do follows from their one role."""

    role = models.CharField(max_length=20, choices=Role, default=Role.ASSISTANT)
    theme = models.CharField(max_length=5, choices=Theme, default=Theme.AUTO)

    def __str__(self) -> str:
        return self.get_full_name() or self.username
