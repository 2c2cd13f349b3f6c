from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.template.response import TemplateResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from sessions.recall.carried.actions import CarryRefused, keep, look_at, put_away
from sessions.recall.carried.forms import FileForm, KeepForm
from sessions.recall.carried.preview import preview_of
from sessions.recall.models import CarriedRecall


def carried_list(request: HttpRequest) -> HttpResponse:
    """Recalls that came from elsewhere, and the form to bring another."""
    form = FileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        name = form.cleaned_data["file"].name
        carried = look_at(form.recall, file_name=name, by=request.user)
        return redirect(carried)
    context = {
        "form": form,
        "recalls": CarriedRecall.objects.visible_to(request.user).for_list(),
        "crumbs": [("Songs", reverse("songs:list")), ("Recalls from elsewhere", "")],
    }
    status = 422 if form.is_bound else 200
    return TemplateResponse(request, "sessions/recall/carried/list.html", context, status=status)


def _carried_of(request, pk: int) -> CarriedRecall:
    recalls = CarriedRecall.objects.visible_to(request.user).for_list()
    return get_object_or_404(recalls, pk=pk)


def detail(request: HttpRequest, pk: int) -> HttpResponse:
    """What came, with every panel drawn from its own marks; to keep, while it is only looked at."""
    carried = _carried_of(request, pk)
    form = None
    if carried.song is None:
        form = KeepForm(request.POST or None, carried=carried, user=request.user)
        if form.is_bound and form.is_valid():
            try:
                kept = keep(carried, song=form.cleaned_data["song"])
            except CarryRefused as refusal:
                messages.info(request, str(refusal))
            else:
                messages.success(request, f"Kept as a recall of {kept.song}.")
            return redirect(carried)
    context = {
        "carried": carried,
        "preview": preview_of(carried),
        "form": form,
        "rebuilds": carried.rebuilds.all(),
        "crumbs": [
            ("Songs", reverse("songs:list")),
            ("Recalls from elsewhere", reverse("carried:list")),
            (str(carried), ""),
        ],
    }
    status = 422 if form is not None and form.is_bound else 200
    return TemplateResponse(request, "sessions/recall/carried/detail.html", context, status=status)


@require_POST
def discard(request: HttpRequest, pk: int) -> HttpResponse:
    """Put away what was only looked at."""
    carried = _carried_of(request, pk)
    try:
        put_away(carried)
    except CarryRefused as refusal:
        messages.warning(request, str(refusal))
        return redirect(carried)
    messages.success(request, f"{carried} is put away; nothing was kept.")
    return redirect("carried:list")
