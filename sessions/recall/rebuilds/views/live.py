from django.http import HttpRequest, HttpResponse
from django.template.response import TemplateResponse
from django.views.decorators.http import require_safe

from sessions.recall.rebuilds.changes import Stamp, changes_since, stamp_of
from sessions.recall.rebuilds.checklist import checklist_of
from sessions.recall.rebuilds.views.common import checklist_context, rebuild_of


@require_safe
def live(request: HttpRequest, pk: int) -> HttpResponse:
    """What changed on the checklist since `?since=…`, for who has it open; nothing where nothing did."""
    rebuild, since = rebuild_of(request, pk), request.GET.get("since", "")
    stamp = stamp_of(rebuild)
    if since == str(stamp):
        return HttpResponse(status=304)
    checklist = checklist_of(rebuild)
    context = checklist_context(checklist, stamp)
    context["changes"] = changes_since(Stamp.read(since), checklist)
    return TemplateResponse(request, "sessions/recall/rebuilds/live.html", context)
