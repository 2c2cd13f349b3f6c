"""Devices on which somebody signed in before, and how often a wrong password was typed there.

OWASP, “Slow Down Online Guessing Attacks with Device Cookies”: each known device has a count of its own,
so that whatever strangers type elsewhere never stops who sits at it; all devices that are not known
share one count. django-axes counts those by name and address, too, and stops them sooner.
"""

from datetime import datetime, timedelta
from secrets import token_urlsafe

from django.conf import settings
from django.db import models
from django.db.models import Case, F, When
from django.utils import timezone

from sessions.links.models import TOKEN_BYTES, hash_of

STRANGERS = ""  # in place of a device's hash: all that are not known
KEPT = timedelta(days=366)  # and as long lives the cookie
FAILURES = 8  # on a known device, then it waits:
PAUSE = timedelta(minutes=15)
# NIST SP 800-63B, 5.2.2: no more than 100 consecutive failures on one account, with waits that grow
# from 30 seconds up to an hour.
STRANGERS_FAILURES = 100
FIRST_WAIT, LONGEST_WAIT = timedelta(seconds=30), timedelta(hours=1)


class KnownDeviceQuerySet(models.QuerySet):
    def of(self, username: str, token: str) -> "KnownDevice | None":
        """The device whose cookie holds the token, if that user signed in there before."""
        if not token:
            return None
        return self.filter(user__username=username, secret_hash=hash_of(token)).first()

    def remember(self, user, token: str) -> str:
        """A sign-in by the user on a device, whose cookie holds the token, if any; gives the token
        that it is known by from now on: a new one where none was given by us. Nothing that strangers or
        this device typed counts more."""
        if not token or not self.filter(secret_hash=hash_of(token)).exists():
            token = token_urlsafe(TOKEN_BYTES)
        now = timezone.now()
        facts = {"failures": 0, "failed_at": None, "signed_in_at": now}
        self.update_or_create(user=user, secret_hash=hash_of(token), defaults=facts)
        self.filter(user=user, secret_hash=STRANGERS).delete()
        return token

    def forget_old(self, now: datetime) -> int:
        """Delete those whose cookies have ended; how many there were. Part of the regular work."""
        return self.filter(signed_in_at__lt=now - KEPT).delete()[0]


class KnownDevice(models.Model):
    user = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="known_devices")
    secret_hash = models.CharField(max_length=64, blank=True)
    signed_in_at = models.DateTimeField(default=timezone.now)
    failures = models.PositiveIntegerField(default=0)
    failed_at = models.DateTimeField(null=True, blank=True)

    objects = KnownDeviceQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint("user", "secret_hash", name="known_device_once")]

    def __str__(self) -> str:
        return f"{'A device' if self.secret_hash else 'Unknown devices'} of {self.user}"

    def paused_until(self, now: datetime) -> datetime | None:
        """Until when nobody is asked for a password there; None where somebody is."""
        if not self.failed_at or self.failed_at > now:  # a clock that was set back holds nobody up
            return None
        if self.secret_hash:
            wait = PAUSE if self.failures >= FAILURES else timedelta()
        else:
            over = self.failures - STRANGERS_FAILURES
            wait = min(FIRST_WAIT * 2 ** min(over, 12), LONGEST_WAIT) if over >= 0 else timedelta()
        until = self.failed_at + wait
        return until if until > now else None

    def note_failure(self, now: datetime) -> None:
        """One more. On a known device those before a pause count no longer; strangers' do until the
        user has signed in."""
        more = F("failures") + 1
        recent = Case(When(failed_at__gt=now - PAUSE, then=more), default=1)
        counted = recent if self.secret_hash else more
        type(self).objects.filter(pk=self.pk).update(failures=counted, failed_at=now)
