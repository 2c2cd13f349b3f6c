"""Where somebody is signed in: their own page of it, what a manager ends of others, and the form that
was sent too late."""

from uuid import UUID

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.utils import timezone
from django.views.decorators.http import require_POST

from studio.models import User
from studio.signing_in.not_sent import KEPT, kept_form, typed_in


def signed_in(request: HttpRequest) -> HttpResponse:
    devices = request.user.signed_in.standing(timezone.now())
    context = {"devices": devices, "here": request.session.session_key}
    return TemplateResponse(request, "studio/signing_in/signed_in.html", context)


@require_POST
def signed_in_end(request: HttpRequest) -> HttpResponse:
    """One of one's own, or all but this one."""
    theirs = _named(request, request.user.signed_in.all())
    ended = theirs.end(but=request.session.session_key)
    messages.success(request, _said(ended))
    return redirect("signed_in")


@require_POST
def sign_in_end(request: HttpRequest, pk: int) -> HttpResponse:
    """A manager ends one or all of somebody's."""
    user = get_object_or_404(User, pk=pk)
    ended = _named(request, user.signed_in.all()).end(but=request.session.session_key)
    messages.success(request, f"{user}: {_said(ended)}")
    return redirect(user)


def _named(request: HttpRequest, devices: QuerySet) -> QuerySet:
    """Those that the form means: the one of that number, or all without one."""
    if not (number := request.POST.get("device")):
        return devices
    try:
        return devices.filter(number=UUID(number))
    except ValueError:
        return devices.none()


def _said(ended: int) -> str:
    if not ended:
        return "No device was signed in any more."
    return f"Signed out on {ended} device{'' if ended == 1 else 's'}."


def not_sent(request: HttpRequest) -> HttpResponse:
    """What was posted after the sign-in had ended; posting here discards it."""
    if request.method == "POST":
        request.session.pop(KEPT, None)
        return redirect("home")
    form = kept_form(request)
    context = {"form": form, "typed": typed_in(form) if form else []}
    return TemplateResponse(request, "studio/signing_in/not_sent.html", context)
