"""Who may sign in, and with which role: the studio manager's pages, and one's own password."""

from ipaddress import ip_address

from axes.utils import reset
from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.forms import BaseUserCreationForm, PasswordChangeForm, SetPasswordForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect

from gear.editing.form_pages import create_page, edit_page, form_page, trail
from gear.list_pages import list_page
from studio.models import User
from studio.roles import Role
from studio.tables import SignInTable

SIGN_INS = ("Sign-ins", "sign_ins")
FIELDS = ["username", "first_name", "last_name", "email", "role"]
LABELS = {"email": "E-mail"}
HELP = {"username": "Letters, digits and @ . + - _, at most 150."}


class NewSignInForm(BaseUserCreationForm):
    """A new sign-in with its first password, which its owner changes on the password page."""

    class Meta:
        model = User
        fields = FIELDS
        labels = LABELS
        help_texts = HELP


class SignInForm(forms.ModelForm):
    class Meta:
        model = User
        fields = [*FIELDS, "is_active"]
        labels = LABELS | {"is_active": "May sign in"}
        help_texts = HELP | {
            "is_active": "Untick this instead of deleting, so that past work keeps its name."
        }

    def clean(self):
        """The house keeps a manager who can sign in, or nobody could let anyone in again."""
        data = super().clean()
        stays = data.get("role") == Role.MANAGER and data.get("is_active")
        others = User.objects.filter(role=Role.MANAGER, is_active=True).exclude(pk=self.instance.pk)
        if not stays and not others.exists():
            field = "is_active" if data.get("role") == Role.MANAGER else "role"
            self.add_error(
                field,
                "This is the last studio manager who may sign in: add another one first.",
            )
        return data


def sign_in_list(request: HttpRequest) -> HttpResponse:
    table = SignInTable(User.objects.select_related("person"))
    return list_page(request, table, "studio/sign_ins.html")


def sign_in_create(request: HttpRequest) -> HttpResponse:
    form = NewSignInForm(request.POST or None)
    return create_page(request, form, title="New sign-in", crumbs=trail(SIGN_INS))


def sign_in_edit(request: HttpRequest, pk: int) -> HttpResponse:
    form = SignInForm(request.POST or None, instance=get_object_or_404(User, pk=pk))
    return edit_page(request, form, crumbs=trail(SIGN_INS))


def sign_in_password(request: HttpRequest, pk: int) -> HttpResponse:
    """Give somebody who forgot theirs a new password, which works at once."""
    user = get_object_or_404(User, pk=pk)
    form = SetPasswordForm(user, request.POST or None)
    if form.is_valid():
        form.save()
        reset(username=user.username)
        messages.success(request, f"New password set for {user}.")
        return redirect("sign_ins")
    return form_page(request, form, title=f"New password for {user}", crumbs=trail(SIGN_INS))


def own_password(request: HttpRequest) -> HttpResponse:
    form = PasswordChangeForm(request.user, request.POST or None)
    if form.is_valid():
        update_session_auth_hash(request, form.save())
        messages.success(request, "Password changed.")
        return redirect("home")
    crumbs = trail(("Today", "home"))
    return form_page(request, form, title="Change your password", crumbs=crumbs)


def client_address(request: HttpRequest) -> str:
    """Who asks, as the nearest hop that is none of our proxies says: what somebody writes into
    X-Forwarded-For on their own counts for nothing."""
    hops = request.headers.get("X-Forwarded-For", "").split(",")
    address = request.META.get("REMOTE_ADDR", "")
    while hops and address in settings.TRUSTED_PROXIES:
        forwarded = hops.pop().strip()
        try:
            address = str(ip_address(forwarded))
        except ValueError:
            break
    return address
