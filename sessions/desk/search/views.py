from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.views.decorators.http import require_safe

from sessions.desk.search.look import look
from sessions.recall.finding.forms import FindForm
from sessions.recall.finding.search import find

AT_A_GLANCE, ON_A_PAGE = 4, 20  # of each kind


@require_safe
def results(request: HttpRequest) -> HttpResponse:
    """What is called so; where nothing is, whatever else somebody may remember of it, one letter wrong
    forgiven. To htmx the first of each kind, as options of the box."""
    form = FindForm(request.GET)
    asked = form.cleaned_data["q"].strip() if form.is_valid() else ""
    most = AT_A_GLANCE if request.htmx else ON_A_PAGE
    groups = look(asked, request.user, most=most) if asked else []
    deep = find(asked, request.user) if asked and not groups else None
    context = {
        "form": form,
        "asked": asked,
        "groups": groups or (deep.groups if deep else []),
        "deep": deep,
        "most": most,
    }
    template = "_at_a_glance.html" if request.htmx else "results.html"
    return TemplateResponse(request, f"sessions/desk/search/{template}", context)
