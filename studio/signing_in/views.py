"""The pages of coming in: password, then the code of who has a second factor."""

from datetime import timedelta

from axes.helpers import get_client_ip_address
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from studio.models import User
from studio.signing_in.entering import enter
from studio.signing_in.forms import SignInCodeForm
from studio.signing_in.limits import ENDED
from studio.signing_in.second_factor import codes_left, takes
from studio.signing_in.trying import (
    forget_what_is_to_come,
    may_try_code,
    note_failure,
    note_wrong_code,
    paused_page,
    paused_until,
    was_looked_at,
)

STEP = "waits_for_code"  # in the web session: who gave the right password, when, and where to
STEP_LASTS = timedelta(minutes=10)  # common practice, no source


def nobody_signs_in() -> bool:
    """As on the first start: the sign-in page says how the first manager is made."""
    return not User.objects.filter(is_active=True).exists()


class SignInView(LoginView):
    """Django's, which leads whoever has a second factor to the page of its code."""

    redirect_authenticated_user = True

    def get_context_data(self, **context):
        why = self.request.session.get(ENDED)
        more = {"nobody_signs_in": nobody_signs_in, "signed_out_why": why}
        return super().get_context_data(**context, **more)

    def post(self, request, *args, **kwargs):
        username = self._named()
        forget_what_is_to_come(timezone.now())
        if until := paused_until(request, username, timezone.now()):
            return paused_page(request, until)
        form = self.get_form()
        if form.is_valid():
            return self.form_valid(form)
        if was_looked_at(request) and "username" in form.cleaned_data:
            note_failure(request, username)
        return self.form_invalid(form)

    def _named(self) -> str:
        """As the form reads what was typed, without spaces around it and in one form of each letter: whose
        password is compared is whose tries are counted."""
        return self.form_class.base_fields["username"].to_python(
            self.request.POST.get("username", "")
        )

    def form_valid(self, form) -> HttpResponse:
        user = form.get_user()
        if user.second_factor_since is None:
            return enter(self.request, user, redirect(self.get_success_url()))
        self.request.session.cycle_key()  # whoever knew the key before knows nothing of this step
        self.request.session[STEP] = {
            "user": user.pk,
            "password": user.get_session_auth_hash(),
            "at": timezone.now().timestamp(),
            "next": self.get_success_url(),
        }
        return redirect("sign_in_code")


@require_http_methods(["GET", "HEAD", "POST"])
@sensitive_post_parameters("code")
@login_not_required
def sign_in_code(request: HttpRequest) -> HttpResponse:
    """Nobody is signed in before the code; wrong ones count as wrong passwords do."""
    step = request.session.get(STEP)
    user = _who_waits(step)
    if user is None:
        return redirect("login")
    form = SignInCodeForm(request.POST or None)
    if request.method == "POST":
        if until := paused_until(request, user.username, timezone.now()):
            return paused_page(request, until)
        if not may_try_code(request, user):
            return paused_page(request)
    if form.is_valid():
        if takes(user, form.cleaned_data["code"]):
            return _came_in(request, user, step["next"])
        note_wrong_code(request, user)
        form.add_error("code", "This code is wrong, or was used already. Try the next one.")
    context = {"form": form, "who": user, "from": get_client_ip_address(request)}
    return TemplateResponse(request, "studio/signing_in/code.html", context)


def _who_waits(step: dict | None) -> User | None:
    """Whoever gave the right password, unless it is too long ago or another one since."""
    now = timezone.now().timestamp()
    if not step or not 0 <= now - step["at"] < STEP_LASTS.total_seconds():
        return None
    user = User.objects.filter(pk=step["user"], is_active=True).first()
    same = user is not None and user.get_session_auth_hash() == step["password"]
    return user if same else None


def _came_in(request: HttpRequest, user: User, to: str) -> HttpResponse:
    """Few recovery codes left: the page on which there are others."""
    del request.session[STEP]
    few = user.second_factor_since and codes_left(user) < 3
    return enter(request, user, redirect(reverse("second_factor") if few else to))
