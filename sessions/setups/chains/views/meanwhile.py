from collections.abc import Callable

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse

from gear.editing.versions import differences
from sessions.setups.chains.actions import Seen
from sessions.setups.chains.versions import last_edit
from sessions.setups.models import Revision


def both_versions(
    request: HttpRequest,
    current: Revision,
    form_of: Callable[..., BaseForm],
    *,
    what: str,
    address: str = "",
    is_gone: bool = False,
) -> HttpResponse:
    """409: what is saved now beside what was typed, and the typed form to save again from here.

    `form_of` makes the form of what is saved, and that of the data it is given. `is_gone`: what was
    edited has been taken out.
    """
    sent = request.POST.copy()
    sent["seen"] = str(Seen.of(current))
    saved, typed = form_of(), form_of(sent)
    typed.full_clean()
    context = {
        "what": what,
        "rows": differences(typed, None if is_gone else saved),
        "form": typed,
        "address": address or request.path,
        "back": current.chain.get_absolute_url(),
        "edit": last_edit(current),
    }
    return TemplateResponse(
        request, "sessions/setups/chains/both_versions.html", context, status=409
    )
