from django.http import HttpRequest, HttpResponse, QueryDict
from django.template.response import TemplateResponse

from sessions.setups.chains.versions import LastEdit, side_by_side


def as_seen_now(request: HttpRequest, seen) -> QueryDict:
    """What was typed, with the state that is now before the editor as what they have seen."""
    typed = request.POST.copy()
    typed["seen"] = str(seen)
    return typed


def both_versions(
    request: HttpRequest,
    *,
    what: str,
    saved,
    typed,
    address: str,
    back: str,
    edit: LastEdit | None = None,
) -> HttpResponse:
    """409: what is saved now beside what was typed, and the typed form to save again from here.

    `saved` is an unbound form of what is saved (None: taken out since), `typed` a bound form that
    names it as seen.
    """
    typed.full_clean()
    context = {
        "what": what,
        "rows": side_by_side(saved, typed),
        "form": typed,
        "address": address,
        "back": back,
        "edit": edit,
    }
    return TemplateResponse(
        request, "sessions/setups/chains/both_versions.html", context, status=409
    )
