"""How long somebody stays signed in, and what comes before everything else.

OWASP Session Management Cheat Sheet: an idle and an absolute limit, both kept by the server. They are
house rules. What a page asks by itself is no use of it (`studio/access.py: BY_ITSELF`).
"""

from datetime import datetime, timedelta

from axes.helpers import get_client_ip_address
from django.contrib.auth.models import AnonymousUser
from django.contrib.auth.views import redirect_to_login
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone

from sessions.bookings.models import RecordingSession, Status
from sessions.unavailable import if_nobody_waits
from studio.access import ASKED_AGAIN, BEFORE_ALL_ELSE, BY_ITSELF, PAGES, PUBLIC
from studio.models import User
from studio.roles import Role
from studio.signed_in import SignedIn, browser_of
from studio.signing_in.not_sent import forget_sent, is_form, keep, sent_form

NOTED_EVERY = timedelta(minutes=1)
ENDED = "ended_by_a_limit"  # in the web session that follows: the sentence that says why
AFTER_SET_UP = "after_set_up"  # where somebody was going who is led to the second factor first


def is_over(device: SignedIn, user: User, now: datetime) -> bool:
    """Whether the sign-in is older than the house allows. `user` is one that `RoleBackend.get_user`
    gave, who brings the house rules along; 0 is no limit."""
    days = user.signed_in_days
    return bool(days) and now - device.signed_in_at >= timedelta(days=days)


def is_idle(device: SignedIn, user: User, now: datetime) -> bool:
    """Whether nobody has done anything there for longer than the house allows; a clock that was set
    back ends nothing."""
    return bool(user.idle_hours) and now - device.used_at >= timedelta(hours=user.idle_hours)


def works_at_a_session(user: User) -> bool:
    """Whether one is under way that they are booked for or credited on. A query."""
    theirs = Q(reservations__person__user=user) | Q(credits__person__user=user)
    return RecordingSession.objects.filter(theirs, status=Status.UNDER_WAY).exists()


def must_set_up_factor(user: User) -> bool:
    """The house asks its managers for a second factor, and this one has none yet."""
    asked = user.second_factor_for_managers and user.role == Role.MANAGER
    return bool(asked and user.second_factor_since is None)


class SignInLimitsMiddleware:
    """Signs out by the house rules, notes when a device was used, and leads managers who must to their
    second factor."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        return self.get_response(request)

    def process_view(self, request, view, args, kwargs):
        page = request.resolver_match.view_name
        if PAGES.get(page) is PUBLIC or not request.user.is_authenticated:
            return None
        device, now = request.session.row, timezone.now()
        used = not _is_asked_by_itself(request, page)
        if is_over(device, request.user, now):
            ago = _counted(request.user.signed_in_days, "day")
            return _sign_out(request, f"You were signed out, as you signed in {ago} ago.")
        idle = is_idle(device, request.user, now)
        if idle and not works_at_a_session(request.user):
            since = _counted(request.user.idle_hours, "hour")
            return _sign_out(request, f"You were signed out, as nothing was done here for {since}.")
        used = used or idle  # the limit counts from the session's end
        if used and abs(now - device.used_at) >= NOTED_EVERY:
            _note_use(request, device, now)
        if must_set_up_factor(request.user) and page not in BEFORE_ALL_ELSE:
            return _lead_to_set_up(request)
        forget_sent(request)
        return None


def _is_asked_by_itself(request: HttpRequest, page: str) -> bool:
    again = request.method == "GET" and ASKED_AGAIN in request.GET
    return again or page in BY_ITSELF or "By-Itself" in request.headers


def _counted(number: int, unit: str) -> str:
    return f"{number} {unit}{'' if number == 1 else 's'}"


def _sign_out(request: HttpRequest, why: str) -> HttpResponse | None:
    """What was posted by a form is kept for whoever posted it; the presses of the tracking page wait on
    the device, and what a script asks is refused as it is of everybody who is not signed in."""
    user, form = request.user, sent_form(request)
    request.session.flush()
    request.user = AnonymousUser()
    request.session[ENDED] = why
    if not is_form(request):
        return None
    if form:
        keep(request, form, user)
    return redirect_to_login(reverse("not_sent" if form else "home"))


def _lead_to_set_up(request: HttpRequest) -> HttpResponse:
    if request.method == "GET" and "text/html" in request.headers.get("Accept", "text/html"):
        request.session[AFTER_SET_UP] = request.get_full_path()
    elif is_form(request):
        if form := sent_form(request):
            keep(request, form, request.user)
        request.session[AFTER_SET_UP] = reverse("not_sent" if form else "home")
    if "HX-Request" in request.headers:
        return HttpResponse(status=403)  # what was typed stays in the page
    return redirect("second_factor")


def _note_use(request: HttpRequest, device: SignedIn, now: datetime) -> None:
    """No page waits for it or fails by it: while somebody else writes, a later request notes it."""
    facts = {"used_at": now, "used_from": get_client_ip_address(request) or ""}
    if browser := browser_of(request):
        facts["browser"] = browser
    with if_nobody_waits():
        SignedIn.objects.filter(pk=device.pk).update(**facts)
        for name, value in facts.items():
            setattr(device, name, value)
