from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.views.decorators.http import require_safe

from sessions.recall.finding.forms import FindForm
from sessions.recall.finding.search import find

AT_A_GLANCE = 3  # of each kind, under the box as somebody types


@require_safe
def search(request: HttpRequest) -> HttpResponse:
    """From whatever somebody remembers to the page of it; to htmx only the first of each kind."""
    form = FindForm(request.GET if "q" in request.GET else None)
    asked = form.cleaned_data["q"] if form.is_bound and form.is_valid() else ""
    results = find(asked, request.user) if asked else None
    context = {"form": form, "asked": asked, "results": results, "most": AT_A_GLANCE}
    template = "_at_a_glance.html" if request.htmx else "search.html"
    return TemplateResponse(request, f"sessions/recall/finding/{template}", context)
