from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse

from sessions.recall.finding.forms import FindForm
from sessions.recall.finding.search import MOST_HITS, find


def search(request: HttpRequest) -> HttpResponse:
    """From a song, artist, day, part, unit, take or note to the recall sheet."""
    form = FindForm(request.GET if request.GET else None)
    groups = None
    if form.is_bound and form.is_valid() and form.asks:
        asked = form.cleaned_data
        groups = find(asked["q"], day=asked["day"], user=request.user)
    context = {"form": form, "groups": groups, "most": MOST_HITS}
    return TemplateResponse(request, "sessions/recall/finding/search.html", context)
