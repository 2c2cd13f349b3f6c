"""Who may sign in, and with which role: the studio manager's pages, and one's own password."""

from functools import partial
from ipaddress import ip_address

from axes.utils import reset
from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.forms import SetPasswordForm
from django.core.exceptions import ValidationError
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from gear.editing.form_pages import edit_page, form_page, trail
from gear.list_pages import list_page
from sessions.letters.outbox import warning_of_unsent_letters
from studio.joining.actions import invite, revoke_links, send_link
from studio.joining.forms import InvitationForm
from studio.joining.views import address_of
from studio.models import User
from studio.password_links import PasswordLink, invited_until
from studio.roles import Role
from studio.signing_in.forms import ChangeOwnPassword
from studio.tables import SignInTable

SIGN_INS = ("Sign-ins", "sign_ins")
MADE_JUST_NOW = "password_link_made_just_now"
FIELDS = ["username", "first_name", "last_name", "email", "role"]
LABELS = {"email": "E-mail"}
HELP = {"username": "Letters, digits and @ . + - _, at most 150."}


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
        if not stays and not self._other_manager_stays():
            field = "is_active" if data.get("role") == Role.MANAGER else "role"
            self.add_error(
                field,
                "This is the last studio manager who may sign in: add another one first.",
            )
        return data

    def _other_manager_stays(self) -> bool:
        """Whoever takes another one out in the same moment waits here, and then sees what is left."""
        managers = User.objects.filter(role=Role.MANAGER, is_active=True).order_by("pk")
        if connection.in_atomic_block:
            managers = managers.select_for_update(no_key=True)
        return any(each.has_usable_password() for each in managers if each.pk != self.instance.pk)

    def save(self, commit=True):
        """A link that went to another address, or to somebody who is to stay out, opens no more."""
        user = super().save(commit)
        closed = "is_active" in self.changed_data and not user.is_active
        if closed or "email" in self.changed_data:
            user.password_links.revoke(timezone.now())
        return user


def sign_in_list(request: HttpRequest) -> HttpResponse:
    """A link that no letter carries is shown here, once."""
    users = User.objects.select_related("person")
    table = SignInTable(users.annotate(invited_until=invited_until(timezone.now())))
    context = {"link": request.session.get(MADE_JUST_NOW)}
    response = list_page(request, table, "studio/sign_ins.html", context)
    if context["link"] and not response.streaming:
        del request.session[MADE_JUST_NOW]
    return response


def sign_in_invite(request: HttpRequest) -> HttpResponse:
    """Somebody new, or the person whom the address names."""
    asked = {"person": request.GET.get("person")}
    form = InvitationForm(request.POST or None, initial=asked)
    if form.is_valid():
        try:
            invite_by(request, form)
            return redirect("sign_ins")
        except ValidationError as refusal:  # somebody else invited them meanwhile
            form.add_error(None, refusal)
    return form_page(
        request, form, title="Invite to sign in", crumbs=trail(SIGN_INS), action="Invite"
    )


def invite_by(request: HttpRequest, form: InvitationForm) -> None:
    """What a valid form asks for; the next page says what came of it."""
    person, data = form.save_person(), form.cleaned_data
    facts = {"email": data["email"], "role": data["role"]}
    with warning_of_unsent_letters(request):
        address = invite(person, **facts, address_of=partial(address_of, request), by=request.user)
    _say(request, person, address, f"{person} is invited: the link is on its way.")


def _say(request: HttpRequest, whom, address: str, sent: str) -> None:
    if address:
        request.session[MADE_JUST_NOW] = {"address": address, "whom": str(whom)}
    else:
        messages.success(request, sent)


def sign_in_edit(request: HttpRequest, pk: int) -> HttpResponse:
    user = get_object_or_404(User, pk=pk)
    form = SignInForm(request.POST or None, instance=user)
    return edit_page(
        request,
        form,
        crumbs=trail(SIGN_INS),
        template="studio/sign_in.html",
        sign_in=user,
        links=PasswordLink.objects.standing(timezone.now()).filter(user=user),
        devices=user.signed_in.standing(timezone.now()),
        here=request.session.session_key,
    )


@require_POST
def sign_in_link(request: HttpRequest, pk: int) -> HttpResponse:
    """A new link for them: the invitation again, or to choose a new password."""
    user = get_object_or_404(User, pk=pk)
    try:
        with warning_of_unsent_letters(request):
            address = send_link(user, address_of=partial(address_of, request), by=request.user)
    except ValidationError as refusal:
        messages.warning(request, refusal.message)
        return redirect(user)
    _say(request, user, address, f"A link is on its way to {user}.")
    return redirect("sign_ins")


@require_POST
def sign_in_revoke(request: HttpRequest, pk: int) -> HttpResponse:
    user = get_object_or_404(User, pk=pk)
    ended = revoke_links(user, by=request.user)
    said = f"{user}: the link no longer opens." if ended else f"No link of {user} was open."
    messages.success(request, said)
    return redirect("sign_ins")


def sign_in_password(request: HttpRequest, pk: int) -> HttpResponse:
    """Give somebody who forgot theirs a new password, which works at once. One's own is asked for first,
    as everywhere: whoever finds a manager's device signed in takes nothing over."""
    user = get_object_or_404(User, pk=pk)
    if user == request.user:
        return redirect("password")
    form = SetPasswordForm(user, request.POST or None)
    if form.is_valid():
        _save_password(form)
        reset(username=user.username)
        messages.success(request, f"New password set for {user}.")
        return redirect("sign_ins")
    return form_page(request, form, title=f"New password for {user}", crumbs=trail(SIGN_INS))


def _save_password(form: SetPasswordForm) -> User:
    """Whoever has an older letter cannot change it once more (OWASP, Forgot Password Cheat Sheet)."""
    user = form.save()
    user.password_links.revoke(timezone.now())
    user.signed_in.all().end()
    return user


def own_password(request: HttpRequest) -> HttpResponse:
    form = ChangeOwnPassword(request.user, request.POST or None)
    if form.is_valid():
        update_session_auth_hash(request, _save_password(form))
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
