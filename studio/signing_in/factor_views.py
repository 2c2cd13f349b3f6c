"""One's own second factor: set up, with another app, other recovery codes, removed."""

import segno
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST
from django_otp.plugins.otp_totp.models import TOTPDevice

from gear.asked import inside
from sessions.letters.outbox import warning_of_unsent_letters
from studio.models import User
from studio.roles import Role
from studio.signing_in import second_factor as factor
from studio.signing_in.forms import AppCodeForm, OwnPassword
from studio.signing_in.letters import tell_of_factor
from studio.signing_in.limits import AFTER_SET_UP, must_set_up_factor

# In the web session: the key of the app that is being set up there, and the codes until they were shown.
BEGUN, CODES = "second_factor_begun", "recovery_codes_made_just_now"


@sensitive_post_parameters("password", "code")
def second_factor(request: HttpRequest) -> HttpResponse:
    """What is pressed stands in `do`. Recovery codes are shown here, once."""
    does = {
        "begin": _begin,
        "confirm": _confirm,
        "cancel": _cancel,
        "renew": _renew,
        "remove": _remove,
    }
    if request.method == "POST" and (do := does.get(request.POST.get("do"))):
        return do(request)
    return _page(request)


def _page(request: HttpRequest, password_form=None, code_form=None) -> HttpResponse:
    user = request.user
    app = None if request.session.get(CODES) else _begun(request)
    context = {
        "password_form": password_form or OwnPassword(user),
        "code_form": code_form or AppCodeForm(),
        "app": app,
        "qr": app and _drawn(factor.address_of(app)),
        "secret": app and factor.secret_of(app),
        "codes": request.session.get(CODES),
        "codes_left": factor.codes_left(user) if user.second_factor_since else 0,
        "asked_for": must_set_up_factor(user),
        "may_remove": not _is_asked(user),
        "go_on": inside(request.session.get(AFTER_SET_UP, ""), ""),
    }
    response = TemplateResponse(request, "studio/signing_in/second_factor.html", context)
    if context["codes"] and request.method == "GET":
        del request.session[CODES]
    return response


def _begin(request: HttpRequest) -> HttpResponse:
    form = OwnPassword(request.user, request.POST)
    if not form.is_valid():
        return _page(request, password_form=form)
    request.session[BEGUN] = factor.begin(request.user, by=request.user).pk
    return redirect("second_factor")


def _begun(request: HttpRequest) -> TOTPDevice | None:
    """The app that is being set up in this browser. Its secret stands on the page, so that it is gone for
    whoever finds the device signed in later, and was never there for any other."""
    return factor.being_set_up(request.user, request.session.get(BEGUN), timezone.now())


def _confirm(request: HttpRequest) -> HttpResponse:
    app, form = _begun(request), AppCodeForm(request.POST)
    if app is None:
        messages.warning(
            request, "This was begun too long ago, or elsewhere since: begin once more."
        )
        return redirect("second_factor")
    if form.is_valid():
        with warning_of_unsent_letters(request):
            codes = factor.confirm(app, code=form.cleaned_data["code"], by=request.user)
            if codes:
                tell_of_factor(request.user, what="set up", by=request.user)
        if codes:
            # Elsewhere nobody gave a code of it: where they signed in before it, the code is asked for now.
            ended = request.user.signed_in.all().end(but=request.session.session_key)
            request.session[CODES] = codes
            elsewhere = (
                " Wherever else you were signed in, a code is asked for now." if ended else ""
            )
            messages.success(request, f"Second factor set up.{elsewhere}")
            return redirect("second_factor")
        form.add_error("code", factor.WRONG)
    return _page(request, code_form=form)


def _cancel(request: HttpRequest) -> HttpResponse:
    factor.cancel(request.user, by=request.user)
    return redirect("second_factor")


def _renew(request: HttpRequest) -> HttpResponse:
    form = OwnPassword(request.user, request.POST)
    if not form.is_valid():
        return _page(request, password_form=form)
    request.session[CODES] = factor.renew_codes(request.user, by=request.user)
    messages.success(request, "These recovery codes stand in place of those before.")
    return redirect("second_factor")


def _remove(request: HttpRequest) -> HttpResponse:
    form = OwnPassword(request.user, request.POST)
    if form.is_valid() and _is_asked(request.user):
        form.add_error(None, "The house asks its managers for a second factor, so it stays.")
    if not form.is_valid():
        return _page(request, password_form=form)
    with warning_of_unsent_letters(request):
        if factor.remove(request.user, by=request.user):
            tell_of_factor(request.user, what="removed", by=request.user)
    messages.success(request, "Second factor removed.")
    return redirect("second_factor")


@require_POST
def sign_in_factor_remove(request: HttpRequest, pk: int) -> HttpResponse:
    """Of somebody who lost both their app and their recovery codes. One's own goes by one's password, on
    the page that asks for it."""
    user = get_object_or_404(User, pk=pk)
    if user == request.user:
        return redirect("second_factor")
    with warning_of_unsent_letters(request):
        if removed := factor.remove(user, by=request.user):
            tell_of_factor(user, what="removed", by=request.user)
    said = f"Second factor of {user} removed." if removed else f"{user} has no second factor."
    messages.success(request, said)
    return redirect(user)


def _is_asked(user: User) -> bool:
    return user.role == Role.MANAGER and user.second_factor_for_managers


def _drawn(address: str) -> SafeString:
    """A QR code (ISO/IEC 18004), dark on light in any theme, since that is how all apps read it."""
    code = segno.make_qr(address, error="m")
    drawn = code.svg_inline(
        border=4, omitsize=True, svgclass="qr-code", dark="#000", light="#fff", title="QR code"
    )
    return mark_safe(drawn)  # noqa: S308 (squares, drawn by segno)
