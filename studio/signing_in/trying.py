"""Whether a password or code is asked for at all, and what is counted where it was wrong.

A device on which the user signed in before has a count of its own (`known_devices.py`): nobody else can
stop it. On all others django-axes counts by name and address, and past those the strangers of one user
share a count. Whoever is stopped there with a new device opens a link from their e-mail on it, by which
it is known (`joining/views.py`).
"""

from datetime import datetime, timedelta

from axes.handlers.proxy import AxesProxyHandler
from axes.models import AccessAttempt
from django.contrib.auth.signals import user_login_failed
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from studio.known_devices import STRANGERS, KnownDevice
from studio.models import User

COOKIE = "known_device"


def known_device(request: HttpRequest, username: str | None) -> KnownDevice | None:
    """Where the user of that name signed in before, if the request comes from there."""
    return KnownDevice.objects.of(username or "", request.COOKIES.get(COOKIE, ""))


def is_known(request: HttpRequest, credentials: dict | None = None) -> bool:
    """Asked by django-axes, which then neither counts nor stops."""
    username = (credentials or {}).get("username") or request.POST.get("username")
    return known_device(request, username) is not None


def paused_until(request: HttpRequest, username: str, now: datetime) -> datetime | None:
    """Until when nothing that is typed there is looked at; None where it is."""
    strangers = KnownDevice.objects.filter(user__username=username, secret_hash=STRANGERS)
    device = known_device(request, username) or strangers.first()
    return device.paused_until(now) if device else None


def forget_what_is_to_come(now: datetime) -> None:
    """What was counted before the clock was set back would stop somebody for as long as that. A minute is
    left to those who try at the same moment."""
    AccessAttempt.objects.filter(attempt_time__gt=now + timedelta(minutes=1)).delete()


def was_looked_at(request: HttpRequest) -> bool:
    """Whether django-axes let the password be compared: the failure that was one too many was."""
    stopped = getattr(request, "axes_locked_out", False)
    return not stopped or bool(getattr(request, "axes_failures_since_start", 0))


def note_failure(request: HttpRequest, username: str) -> None:
    """A wrong password, or a wrong code behind the right one."""
    device = known_device(request, username)
    user = User.objects.filter(username=username).first()
    if device is None and user is not None:
        device, _ = KnownDevice.objects.get_or_create(user=user, secret_hash=STRANGERS)
    if device is not None:
        device.note_failure(timezone.now())


def may_try_code(request: HttpRequest, user: User) -> bool:
    credentials = {"username": user.username}
    return AxesProxyHandler.is_allowed(request, credentials)


def note_wrong_code(request: HttpRequest, user: User) -> None:
    """Counted as a wrong password is."""
    user_login_failed.send(__name__, credentials={"username": user.username}, request=request)
    note_failure(request, user.username)


def paused_page(request: HttpRequest, until: datetime | None = None) -> HttpResponse:
    """429: when to try again, and what to do sooner."""
    return render(request, "registration/locked.html", {"until": until}, status=429)
