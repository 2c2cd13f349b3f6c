from django.contrib.auth.models import AbstractUser, UserManager
from django.db import models
from django.urls import reverse

from gear.editing.history import History
from gear.editing.versions import Counted
from sessions.clients.models import Person
from studio.backups.models import Backup
from studio.erasures import Erasure
from studio.known_devices import KnownDevice
from studio.password_links import PasswordLink
from studio.roles import Role
from studio.signed_in import SignedIn

__all__ = [
    "Backup",
    "Erasure",
    "KnownDevice",
    "PasswordLink",
    "SignedIn",
    "StaffManager",
    "Theme",
    "User",
]  # Django looks for models only here

# What concerns only the person who signs in, and is saved by itself.
UNRECORDED = {"password", "last_login", "theme", "character_keys", "first_steps_put_away"}


class Theme(models.TextChoices):
    AUTO = "auto", "Follow the device"
    LIGHT = "light", "Light"
    DARK = "dark", "Dark"


class StaffManager(UserManager):
    def create_superuser(self, username, email=None, password=None, **facts):
        """`manage.py createsuperuser` makes a house's first studio manager, who invites the others, and
        the person that they are."""
        facts.setdefault("role", Role.MANAGER)
        user = super().create_superuser(username, email, password, **facts)
        Person.objects.create(
            name=str(user)[:120], email=user.email, does=user.get_role_display(), user=user
        )
        return user


class User(Counted, AbstractUser):
    """Somebody who signs in. What they may do follows from their one role."""

    role = models.CharField(max_length=20, choices=Role, default=Role.ASSISTANT)
    theme = models.CharField(max_length=5, choices=Theme, default=Theme.AUTO)
    character_keys = models.BooleanField(
        "single-letter keys",
        default=True,
        help_text="Whether one letter presses a button of a page.",
    )
    first_steps_put_away = models.BooleanField(
        default=False, help_text="Whether Today no longer lists what a new studio needs."
    )
    second_factor_since = models.DateTimeField(
        null=True,
        blank=True,
        editable=False,
        help_text="Since when a code is asked for at the sign-in: see signing_in/second_factor.py.",
    )
    history = History(excluded_fields=list(UNRECORDED))

    objects = StaffManager()

    REQUIRED_FIELDS = ["email", "first_name", "last_name"]  # asked by `createsuperuser`

    class Meta:
        ordering = ["first_name", "last_name", "username"]

    def __str__(self) -> str:
        return self.get_full_name() or self.username

    def save(self, *args, **how) -> None:
        """Signing in (also when it hashes the password anew) and choosing how pages look and listen
        write no history, and so conflict with nobody who edits the sign-in."""
        fields = how.get("update_fields")
        if fields is not None and set(fields) <= UNRECORDED:
            self.skip_history_when_saving = True
        try:
            super().save(*args, **how)
        finally:
            self.__dict__.pop("skip_history_when_saving", None)

    def get_absolute_url(self) -> str:
        return reverse("sign_in_edit", args=[self.pk])

    def letters_to(self) -> str:
        """Their e-mail address, or that of the person that they are; empty without. Up to a query."""
        return self.email or getattr(getattr(self, "person", None), "email", "")
