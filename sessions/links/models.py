"""Addresses that open something to whoever has them, without signing in."""

from datetime import datetime, timedelta
from hashlib import sha256
from secrets import token_urlsafe

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from gear.editing.history import History, update_with_history

TOKEN_BYTES = 32  # as many as the hash keeps: guessing one is out of reach
WRONG_GUESSES = 20  # from one address, within:
COUNTED_FOR = timedelta(minutes=15)


def hash_of(token: str) -> str:
    """What is stored in place of the token: SHA-256, in hexadecimal."""
    return sha256(token.encode()).hexdigest()


class SecretLinkQuerySet(models.QuerySet):
    def standing(self, now: datetime):
        """Those that open: neither revoked nor expired."""
        return self.filter(Q(expires_at=None) | Q(expires_at__gt=now), revoked_at=None)


class SecretLink(models.Model):
    """A secret, revocable address that may expire; what it opens, the model of each use says.

    Only a hash of the secret is kept: the address is shown once, when it is made, and can be read
    out of neither the database nor a backup. Who has lost it makes another. In the address it
    stands as `token`, by which name the log leaves it out (`studio/logs.py`).
    """

    token_hash = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)
    last_used_at = models.DateTimeField(null=True, blank=True)
    times_used = models.PositiveIntegerField(default=0)
    # Who made and revoked it: neither the secret nor how often it was used.
    history = History(inherit=True, excluded_fields=["token_hash", "last_used_at", "times_used"])

    objects = SecretLinkQuerySet.as_manager()

    class Meta:
        abstract = True

    @classmethod
    def make(cls, *, by, expires_at: datetime | None = None, **opens) -> tuple["SecretLink", str]:
        """A new link, and its token, which nobody can read again."""
        token = token_urlsafe(TOKEN_BYTES)
        made = cls.objects.create(
            token_hash=hash_of(token), made_by=by, expires_at=expires_at, **opens
        )
        return made, token

    def is_expired(self, now: datetime) -> bool:
        return self.expires_at is not None and self.expires_at <= now

    def revoke(self, now: datetime) -> None:
        """From now on the address is not there. One that is revoked already keeps its time."""
        standing = type(self).objects.filter(pk=self.pk, revoked_at=None)
        update_with_history(standing, revoked_at=now)

    def note_use(self, now: datetime) -> None:
        uses = type(self).objects.filter(pk=self.pk)
        uses.update(last_used_at=now, times_used=F("times_used") + 1)


class WrongGuessQuerySet(models.QuerySet):
    def too_many(self, client: str, now: datetime) -> bool:
        # Of what is still to come the clock was set back since: it would count for as long as that.
        counted = self.filter(client=client, at__gt=now - COUNTED_FOR, at__lte=now)
        return counted.count() >= WRONG_GUESSES

    def forget_old(self, now: datetime) -> int:
        """Delete what counts no more; how many there were. Part of the regular work."""
        counts = models.Q(at__gt=now - COUNTED_FOR, at__lte=now)
        return self.exclude(counts).delete()[0]


class WrongGuess(models.Model):
    """Somebody tried a link that never was, or what else is counted at a door: `client` is the network
    address, alone or behind what was tried there."""

    client = models.CharField(max_length=45)
    at = models.DateTimeField()

    objects = WrongGuessQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "wrong guesses"
        indexes = [models.Index(fields=["client", "at"])]

    def __str__(self) -> str:
        return f"{self.client}, {self.at}"
