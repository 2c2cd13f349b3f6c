from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.views.decorators.http import require_safe

from sessions.recall.finding.forms import FindForm
from sessions.recall.finding.search import find


@require_safe
def search(request: HttpRequest) -> HttpResponse:
    """From whatever somebody remembers to the page of it."""
    form = FindForm(request.GET if "q" in request.GET else None)
    asked = form.cleaned_data["q"] if form.is_bound and form.is_valid() else ""
    results = find(asked, request.user) if asked else None
    context = {"form": form, "asked": asked, "results": results}
    return TemplateResponse(request, "sessions/recall/finding/search.html", context)
