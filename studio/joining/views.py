"""The pages without a sign-in: to choose a password by a link, and to ask for such a link."""

from axes.helpers import get_client_ip_address
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import SetPasswordForm
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from sessions.letters.sending import mail_is_sent
from sessions.links.models import WrongGuess
from sessions.links.opening import opened_by
from sessions.rooms.models import Studio
from studio.joining.actions import answer_forgotten, choose_password, keep_password
from studio.joining.forms import ForgottenForm, JoinForm
from studio.password_links import PasswordLink, Purpose
from studio.signing_in.entering import enter, make_known

TEMPLATES = "studio/joining"


def address_of(request: HttpRequest, token: str) -> str:
    return request.build_absolute_uri(reverse("choose_password", args=[token]))


def _ended(request: HttpRequest, link: PasswordLink) -> HttpResponse:
    """410: why it opens no more, and what to do."""
    if link.used_at:
        why = "used"
    elif link.is_expired(timezone.now()):
        why = "expired"
    else:
        why = "replaced"
    context = {"link": link, "why": why, "studio": Studio.current(), "invited": _invites(link)}
    return TemplateResponse(request, f"{TEMPLATES}/ended.html", context, status=410)


@require_http_methods(["GET", "HEAD", "POST"])
@opened_by(PasswordLink, ended=_ended)
def choose(request: HttpRequest, link: PasswordLink) -> HttpResponse:
    """Opening it uses up nothing: mail programs look at what they show. Whoever goes on has the letter,
    so their device is one of the user's from then on."""
    user, invited = link.user, _invites(link)
    data = request.POST or None
    if data and "keep" in data and not invited:
        return _keep(request, link)
    form = (
        JoinForm(user, data, initial={"username": user.username})
        if invited
        else SetPasswordForm(user, data)
    )
    if form.is_valid():
        facts = {"password": form.cleaned_data["new_password1"], "by": user}
        try:
            user = choose_password(link, username=form.cleaned_data.get("username", ""), **facts)
        except ValidationError:
            link.refresh_from_db()
            return _ended(request, link)
        if not invited:
            messages.success(request, f"Password changed. You sign in as {user.username}.")
            return make_known(request, user, redirect("login"))
        response = enter(request, user, redirect("home"))
        messages.success(request, f"Welcome. From now on you sign in as {user.username}.")
        return response
    context = {"form": form, "link": link, "invited": invited, "studio": Studio.current()}
    return TemplateResponse(request, f"{TEMPLATES}/choose.html", context)


def _keep(request: HttpRequest, link: PasswordLink) -> HttpResponse:
    """Nothing but strangers' wrong passwords is forgotten: the password is still asked for."""
    try:
        user = keep_password(link, by=link.user)
    except ValidationError:
        link.refresh_from_db()
        return _ended(request, link)
    messages.success(request, f"This device is let in. You sign in as {user.username}.")
    return make_known(request, user, redirect("login"))


def _invites(link: PasswordLink) -> bool:
    return link.purpose == Purpose.INVITATION


@require_http_methods(["GET", "HEAD", "POST"])
@login_not_required
def forgotten(request: HttpRequest) -> HttpResponse:
    """The answer is the same whether or not anybody has that address (OWASP, Forgot Password Cheat
    Sheet), and how many may be asked from one place is limited."""
    form = ForgottenForm(request.POST or None)
    context = {"form": form, "studio": Studio.current(), "mail_is_sent": mail_is_sent()}
    if not form.is_valid():
        return TemplateResponse(request, f"{TEMPLATES}/forgotten.html", context)
    asker = f"reset {get_client_ip_address(request) or ''}"[:45]
    now = timezone.now()
    if WrongGuess.objects.too_many(asker, now):
        form.add_error(None, "Too many were asked for from here. Try again in 15 minutes.")
        return TemplateResponse(request, f"{TEMPLATES}/forgotten.html", context, status=429)
    WrongGuess.objects.create(client=asker, at=now)
    if context["mail_is_sent"]:
        answer_forgotten(form.cleaned_data["email"], pattern=address_of(request, "TOKEN"))
    return redirect("password_asked")


@login_not_required
def asked(request: HttpRequest) -> HttpResponse:
    return TemplateResponse(request, f"{TEMPLATES}/asked.html", {"studio": Studio.current()})
