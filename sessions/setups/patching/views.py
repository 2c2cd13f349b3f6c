from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.utils.timezone import localtime
from django.views.decorators.http import require_POST, require_safe

from gear.equipment.cautions import PATCHING
from gear.patchbay.models import Bay
from sessions.setups.models import Photo, Setup
from sessions.setups.patching import actions
from sessions.setups.patching.forms import SessionChoiceForm
from sessions.setups.patching.patched_now import patched_now as what_is_patched
from sessions.setups.patching.patched_now import sessions_to_show, under_way


@require_POST
def strike(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a setup down: the others no longer share the bays with it."""
    setup = get_object_or_404(Setup.objects.visible_to(request.user), pk=pk)
    actions.strike(setup)
    when = f"{localtime(setup.struck_at):%H:%M}"
    messages.success(request, f"{setup} struck {when}: pull its cords from the bays.")
    return redirect(setup)


@require_POST
def undo_strike(request: HttpRequest, pk: int) -> HttpResponse:
    """Let a struck setup stand again."""
    setup = get_object_or_404(Setup.objects.visible_to(request.user), pk=pk)
    actions.undo_strike(setup)
    messages.success(request, f"{setup} is set up again: patch it from its list.")
    return redirect(setup)


@require_safe
def patched_now(request: HttpRequest, pk: int) -> HttpResponse:
    """A bay with what is plugged: by the sessions under way, or by the one that is chosen."""
    bay = get_object_or_404(Bay, pk=pk)
    sessions = sessions_to_show(request.user)
    form = SessionChoiceForm(request.GET or None, sessions=sessions)
    chosen = form.cleaned_data["session"] if form.is_valid() else None
    shown = [chosen] if chosen else list(under_way(sessions))
    context = {
        "bay": bay,
        "form": form,
        "chosen": chosen,
        "sessions": shown,
        "now": what_is_patched(bay, shown),
        "cautions": [PATCHING],
        "photos": Photo.objects.filter(
            bay=bay, setup__session__in=shown, setup__struck_at=None
        ).for_list(),
    }
    return TemplateResponse(request, "sessions/setups/patching/patched_now.html", context)
